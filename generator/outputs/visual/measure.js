// Measures outlines of lines and arcs. Lengths are mm, y is up; a row is x, y and the bulge of the segment that begins
// there: tan(sweep / 4), positive counter-clockwise.

function makeMeasure(unit) {
  function length(mm) {
    const text = (mm / unit.mm).toFixed(unit.decimals);
    const short = text.includes(".") ? text.replace(/\.?0+$/, "") : text;
    return (short === "-0" ? "0" : short.replace("-", "\u2212")) + "\u00a0" + unit.suffix;
  }

  function segmentOf(a, b) {
    const dx = b[0] - a[0];
    const dy = b[1] - a[1];
    const chord = Math.hypot(dx, dy);
    const bulge = a[2];
    const s = { ax: a[0], ay: a[1], bx: b[0], by: b[1], bulge: bulge, length: chord };
    if (bulge !== 0) {
      const k = (1 - bulge * bulge) / (4 * bulge);
      s.cx = (a[0] + b[0]) / 2 - k * dy;
      s.cy = (a[1] + b[1]) / 2 + k * dx;
      s.sweep = 4 * Math.atan(bulge);
      s.radius = (chord * (1 + bulge * bulge)) / (4 * Math.abs(bulge));
      s.start = Math.atan2(s.ay - s.cy, s.ax - s.cx);
      s.length = s.radius * Math.abs(s.sweep);
    }
    return s;
  }

  // An outline's contours as segments, made once.
  function contoursOf(outline) {
    if (!outline.segments) {
      outline.segments = outline.contours.map((rows) => {
        const found = rows.map((row, i) => segmentOf(row, rows[(i + 1) % rows.length]));
        return joined(found.filter((s) => s.length > 1e-9));
      });
    }
    return outline.segments;
  }

  // Neighbouring arcs of one circle are one arc, and neighbouring pieces of one line one line.
  function joined(segments) {
    const out = [];
    for (const s of segments) {
      const last = out[out.length - 1];
      if (last && together(last, s)) out[out.length - 1] = both(last, s);
      else out.push(s);
    }
    while (out.length > 1 && together(out[out.length - 1], out[0])) out[0] = both(out.pop(), out[0]);
    return out;
  }

  function together(a, b) {
    const near = 2e-3;
    if ((a.bulge === 0) !== (b.bulge === 0)) return false;
    if (a.bulge === 0) {
      const off = (b.bx - a.ax) * (a.by - a.ay) - (b.by - a.ay) * (a.bx - a.ax);
      const on = (b.bx - b.ax) * (a.bx - a.ax) + (b.by - b.ay) * (a.by - a.ay);
      return Math.abs(off) / a.length < near / 10 && on > 0;
    }
    const apart = Math.hypot(a.cx - b.cx, a.cy - b.cy) + Math.abs(a.radius - b.radius);
    return apart < near * Math.max(1, a.radius / 100) && a.sweep * b.sweep > 0;
  }

  function both(a, b) {
    const s = Object.assign({}, a, { bx: b.bx, by: b.by, length: a.length + b.length });
    if (a.bulge !== 0) s.sweep = a.sweep + b.sweep;
    return s;
  }

  function isCircle(s) {
    return s.bulge !== 0 && Math.abs(Math.abs(s.sweep) - 2 * Math.PI) < 1e-4;
  }

  function distance(s, x, y) {
    if (s.bulge === 0) {
      const t = ((x - s.ax) * (s.bx - s.ax) + (y - s.ay) * (s.by - s.ay)) / (s.length * s.length);
      const k = Math.min(1, Math.max(0, t));
      return Math.hypot(x - s.ax - k * (s.bx - s.ax), y - s.ay - k * (s.by - s.ay));
    }
    const turn = 2 * Math.PI;
    const angle = Math.atan2(y - s.cy, x - s.cx);
    const way = s.sweep > 0 ? angle - s.start : s.start - angle;
    if (((way % turn) + turn) % turn <= Math.abs(s.sweep)) return Math.abs(Math.hypot(x - s.cx, y - s.cy) - s.radius);
    return Math.min(Math.hypot(x - s.ax, y - s.ay), Math.hypot(x - s.bx, y - s.by));
  }

  // The segment nearest to a point: outline, segment, distance; null if there is none.
  function nearest(outlines, x, y) {
    let best = null;
    for (const outline of outlines) {
      for (const contour of contoursOf(outline)) {
        for (const segment of contour) {
          const d = distance(segment, x, y);
          if (best === null || d < best.distance) best = { outline: outline, segment: segment, distance: d };
        }
      }
    }
    return best;
  }

  // Is a point inside? The turns of the chords round it, corrected where it lies between a chord and its arc.
  function inside(outline, x, y) {
    let winding = 0;
    for (const rows of outline.contours) {
      for (let i = 0; i < rows.length; i++) {
        const a = rows[i];
        const b = rows[(i + 1) % rows.length];
        const left = (b[0] - a[0]) * (y - a[1]) - (b[1] - a[1]) * (x - a[0]);
        if (a[1] <= y && b[1] > y && left > 0) winding += 1;
        if (a[1] > y && b[1] <= y && left < 0) winding -= 1;
        if (a[2] !== 0) winding += bow(segmentOf(a, b), x, y, left);
      }
    }
    return winding > 0;
  }

  function bow(s, x, y, left) {
    if (Math.hypot(x - s.cx, y - s.cy) >= s.radius) return 0;
    // the arc of a positive bulge lies to the right of its chord
    if (s.bulge > 0) return left < 0 ? 1 : 0;
    return left > 0 ? -1 : 0;
  }

  function describe(s) {
    if (isCircle(s)) return "circle \u2300 " + length(2 * s.radius);
    if (s.bulge === 0) return "straight, " + length(s.length) + " long";
    const degrees = ((Math.abs(s.sweep) * 180) / Math.PI).toFixed(1).replace(/\.0$/, "");
    return "arc R " + length(s.radius) + " (\u2300 " + length(2 * s.radius) + "), " + degrees + "\u00b0, " +
      length(s.length) + " long";
  }

  function words(name) {
    return name.replace(/-/g, " ");
  }

  // A feature's depth in words: through, or how deep from its face and how much is left under it.
  function depth(part, outline) {
    const top = part.thickness;
    if (outline.face === "") return length(top) + " thick";
    if (outline.from <= 1e-6 && outline.to >= top - 1e-6) return "through " + length(top);
    const deep = outline.face === "top" ? top - outline.from : outline.to;
    return length(deep) + " deep from the " + outline.face + " face";
  }

  // What is above and below a point of the plane: the features there, and the heights at which there is material.
  function column(part, x, y) {
    const features = part.outlines.slice(1).filter((o) => inside(o, x, y));
    let solid = inside(part.outlines[0], x, y) ? [[0, part.thickness]] : [];
    for (const f of features) {
      const rest = [];
      for (const [low, high] of solid) {
        if (f.from > low + 1e-6) rest.push([low, Math.min(high, f.from)]);
        if (f.to < high - 1e-6) rest.push([Math.max(low, f.to), high]);
      }
      solid = rest.filter(([low, high]) => high - low > 1e-6);
    }
    return { features: features, solid: solid };
  }

  function thickness(solid) {
    return solid.length ? solid.map(([low, high]) => length(high - low)).join(" and ") + " of material" : "no material";
  }

  return {
    length: length,
    nearest: nearest,
    inside: inside,
    column: column,
    describe: describe,
    depth: depth,
    thickness: thickness,
    words: words,
  };
}
