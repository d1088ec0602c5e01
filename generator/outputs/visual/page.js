// Wires the page: sliders, keys, pointers, layers and findings. All words that come from the recipe go in as text.

(function () {
  document.documentElement.classList.add("live");
  const data = JSON.parse(document.getElementById("data").textContent);
  const measure = makeMeasure(data.unit);
  const byId = (id) => document.getElementById(id);
  const canvas = byId("solid");
  const plan = byId("plan");
  const NEAR_PX = 9;
  let solid = null;
  try {
    solid = makeSolid(canvas, data.parts);
  } catch (error) {
    solid = null;
  }

  function place(x, y, z) {
    const figures = (z === undefined ? [x, y] : [x, y, z]).map((v) => measure.length(v));
    return ["x ", "y ", "z "].slice(0, figures.length).map((name, k) => name + figures[k]).join(", ");
  }

  // z counts from a part's own bottom face, as in its drawing; an insert lies higher than the cover's, and tells both
  function above(part, z) {
    if (part.seat < 0.0005) return "";
    return " above its own bottom face, " + measure.length(z) + " above that of the cover";
  }

  function say(id, lines) {
    byId(id).replaceChildren(...lines.filter(Boolean).map((text) => {
      const line = document.createElement("span");
      line.textContent = text;
      return line;
    }));
  }

  // ------------------------------------------------------------------ solid
  let waiting = false;
  let pinned = null;

  function redraw() {
    if (!solid || waiting) return;
    waiting = true;
    window.requestAnimationFrame(() => {
      waiting = false;
      solid.draw();
      movePin();
    });
  }

  function movePin() {
    const pin = byId("pin");
    pin.hidden = pinned === null;
    if (pinned === null) return;
    const [x, y] = solid.project(pinned.point);
    pin.textContent = String(pinned.number);
    pin.style.left = x + "px";
    pin.style.top = y + "px";
  }

  function tellSolid(px, py) {
    const hit = solid.pick(px, py);
    if (!hit) return;
    const part = hit.body.part;
    const [x, y] = hit.point;
    const z = hit.point[2] - part.seat;
    const under = measure.column(part, x, y);
    const where = place(x, y, z) + above(part, hit.point[2]);
    const lines = [measure.words(part.name) + (hit.inner ? ", cut face" : ""), where];
    const level = !hit.inner && Math.abs(hit.normal[2]) > 0.99;
    if (!level && !hit.inner) {
      const beside = measure.nearest(part.outlines.filter((o) => o.from < z + 0.01 && o.to > z - 0.01), x, y);
      if (beside) lines.push(nearText(part, beside));
    } else {
      for (const o of under.features) lines.push(featureText(part, o));
    }
    if (part.name !== "original" && (level || hit.inner)) lines.push(measure.thickness(under.solid) + " here");
    say("solid-says", lines);
  }

  function featureText(part, outline) {
    return measure.words(outline.name) + ": " + measure.depth(part, outline);
  }

  function nearText(part, found) {
    return featureText(part, found.outline) + "; " + measure.describe(found.segment);
  }

  function turn(yaw, pitch) {
    solid.state.yaw += yaw;
    solid.state.pitch = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, solid.state.pitch + pitch));
    redraw();
  }

  function look(yaw, pitch) {
    Object.assign(solid.state, { yaw: yaw, pitch: pitch, fitted: [yaw, pitch], zoom: 1, pan: [0, 0] });
    redraw();
  }

  function zoomSolid(by) {
    solid.state.zoom = Math.max(0.3, Math.min(40, solid.state.zoom * by));
    redraw();
  }

  const VIEWS = { tilted: [-0.5, 0.65], top: [0, Math.PI / 2], bottom: [0, -Math.PI / 2], front: [0, 0] };

  const KEYS = {
    ArrowLeft: () => turn(-0.1, 0),
    ArrowRight: () => turn(0.1, 0),
    ArrowUp: () => turn(0, 0.1),
    ArrowDown: () => turn(0, -0.1),
    "+": () => zoomSolid(1.2),
    "=": () => zoomSolid(1.2),
    "-": () => zoomSolid(1 / 1.2),
    Home: () => look(...VIEWS.tilted),
    Enter: () => tellSolid(canvas.clientWidth / 2, canvas.clientHeight / 2),
  };

  function wirePointers() {
    const down = new Map();
    let moved = 0;
    const at = (event) => {
      const box = canvas.getBoundingClientRect();
      return [event.clientX - box.left, event.clientY - box.top];
    };
    canvas.addEventListener("pointerdown", (event) => {
      canvas.setPointerCapture(event.pointerId);
      down.set(event.pointerId, at(event));
      moved = 0;
    });
    canvas.addEventListener("pointermove", (event) => {
      const now = at(event);
      const before = down.get(event.pointerId);
      if (!before) {
        tellSolid(...now);
        return;
      }
      const [dx, dy] = [now[0] - before[0], now[1] - before[1]];
      moved += Math.hypot(dx, dy);
      const other = [...down.entries()].find(([id]) => id !== event.pointerId);
      if (other) pinch(other[1], before, now);
      if (other || event.shiftKey || event.buttons > 1) pan(other ? dx / 2 : dx, other ? dy / 2 : dy);
      else turn(dx * 0.01, dy * 0.01);
      down.set(event.pointerId, now);
    });
    canvas.addEventListener("pointerup", (event) => {
      if (moved < 4) tellSolid(...at(event));
      down.delete(event.pointerId);
    });
    canvas.addEventListener("pointercancel", (event) => down.delete(event.pointerId));
    canvas.addEventListener("contextmenu", (event) => event.preventDefault());
    canvas.addEventListener("wheel", (event) => {
      // who scrolls the page past the solid does not want to zoom it
      if (document.activeElement !== canvas) return;
      event.preventDefault();
      zoomSolid(Math.exp(-event.deltaY * 0.0015));
    }, { passive: false });
  }

  function pinch(other, before, now) {
    const [old, far] = [before, now].map((p) => Math.hypot(p[0] - other[0], p[1] - other[1]));
    if (old > 10) zoomSolid(far / old);
  }

  function pan(dx, dy) {
    solid.state.pan[0] += dx;
    solid.state.pan[1] -= dy;
    redraw();
  }

  function cutChanged() {
    solid.state.axis = byId("cut").value;
    solid.state.at = Number(byId("cut-at").value) / 1000;
    byId("cut-at").disabled = solid.state.axis === "";
    byId("cut-says").textContent =
      solid.state.axis === "" ? "" : solid.state.axis + " = " + measure.length(solid.cutPlace());
    redraw();
  }

  function wireSolid() {
    canvas.addEventListener("keydown", (event) => {
      const act = event.ctrlKey || event.metaKey || event.altKey ? undefined : KEYS[event.key];
      if (!act) return;
      event.preventDefault();
      act();
    });
    wirePointers();
    byId("apart").addEventListener("input", (event) => {
      solid.state.apart = Number(event.target.value) / 100;
      redraw();
    });
    byId("cut").addEventListener("input", cutChanged);
    byId("cut-at").addEventListener("input", cutChanged);
    for (const button of document.querySelectorAll("button[data-view]")) {
      button.addEventListener("click", () => look(...VIEWS[button.dataset.view]));
    }
    for (const button of document.querySelectorAll("button[data-zoom]")) {
      button.addEventListener("click", () => zoomSolid(Number(button.dataset.zoom)));
    }
    for (const box of document.querySelectorAll("input[data-part]")) {
      box.addEventListener("input", () => {
        for (const body of solid.bodies) if (body.part.name === box.dataset.part) body.shown = box.checked;
        redraw();
      });
    }
    new ResizeObserver(redraw).observe(canvas);
    cutChanged();
  }

  // ------------------------------------------------------------------ plan
  const shownLayers = new Set();
  const mark = document.createElementNS(plan.namespaceURI, "path");
  let planZoom = 1;

  function layerChanged(box) {
    if (box.checked) shownLayers.add(box.dataset.layer);
    else shownLayers.delete(box.dataset.layer);
    for (const drawn of plan.querySelectorAll("[data-layer]")) {
      if (drawn.dataset.layer === box.dataset.layer) drawn.toggleAttribute("hidden", !box.checked);
    }
  }

  function tellPlan(event) {
    const ctm = plan.getScreenCTM();
    if (!ctm) return;
    const p = new DOMPoint(event.clientX, event.clientY).matrixTransform(ctm.inverse());
    const scale = Number(plan.dataset.scale);
    const [x, y] = [Number(plan.dataset.left) + p.x / scale, Number(plan.dataset.top) - p.y / scale];
    const perMm = ctm.a * scale;
    const found = measure.nearest(data.layers.filter((layer) => shownLayers.has(layer.name)), x, y);
    const lines = [place(x, y)];
    mark.setAttribute("d", "");
    if (found && found.distance * perMm <= NEAR_PX) {
      lines.push(measure.words(found.outline.name) + ": " + found.outline.says);
      lines.push(measure.describe(found.segment));
      mark.setAttribute("d", pathOf(found.segment));
      mark.setAttribute("stroke-width", String(3 / perMm));
    } else {
      for (const part of data.parts.filter((q) => q.name !== "original")) {
        if (!measure.inside(part.outlines[0], x, y)) continue;
        const under = measure.column(part, x, y);
        for (const o of under.features) lines.push(featureText(part, o));
        lines.push(measure.words(part.name) + ": " + measure.thickness(under.solid) + " here");
      }
    }
    say("plan-says", lines);
  }

  function pathOf(s) {
    if (s.bulge === 0) return "M" + s.ax + " " + s.ay + "L" + s.bx + " " + s.by;
    const many = 48;
    let d = "";
    for (let i = 0; i <= many; i++) {
      const angle = s.start + (s.sweep * i) / many;
      d += (i ? "L" : "M") + (s.cx + s.radius * Math.cos(angle)) + " " + (s.cy + s.radius * Math.sin(angle));
    }
    return d;
  }

  function zoomPlan(by) {
    planZoom = Math.max(1, Math.min(12, planZoom * by));
    plan.style.width = 100 * planZoom + "%";
    plan.style.maxHeight = planZoom > 1 ? "none" : "";
  }

  function wirePlan() {
    const boxes = [...document.querySelectorAll("input[data-layer]")];
    mark.setAttribute("class", "measured");
    plan.querySelector("g").append(mark);
    for (const box of boxes) {
      layerChanged(box);
      box.addEventListener("input", () => layerChanged(box));
    }
    for (const button of document.querySelectorAll("button[data-layers]")) {
      button.addEventListener("click", () => {
        for (const box of boxes) {
          box.checked = button.dataset.layers === "all";
          layerChanged(box);
        }
      });
    }
    for (const button of document.querySelectorAll("button[data-plan-zoom]")) {
      button.addEventListener("click", () => zoomPlan(Number(button.dataset.planZoom)));
    }
    plan.addEventListener("pointermove", tellPlan);
    plan.addEventListener("pointerdown", tellPlan);
  }

  // ------------------------------------------------------------------ findings
  function showFinding(number) {
    const { point, face } = data.findings[number - 1];
    const words = document.querySelector("#finding-" + number + " .message").textContent;
    for (const g of plan.querySelectorAll("[data-finding]")) {
      g.classList.toggle("chosen", g.dataset.finding === String(number));
    }
    const findings = document.querySelector('input[data-layer="findings"]');
    findings.checked = true;
    layerChanged(findings);
    if (solid) {
      const below = face === "bottom";
      pinned = { number: number, point: [point[0], point[1], below ? 0 : data.thickness] };
      if (below !== solid.state.pitch < 0) look(-0.5, below ? -0.65 : 0.65);
      redraw();
    }
    for (const id of ["solid-says", "plan-says"]) say(id, ["Finding " + number + ": " + words]);
    const back = byId("back");
    back.hidden = false;
    back.querySelector("a").href = "#finding-" + number;
    byId("views").scrollIntoView({ block: "start" });
    const paper = byId("paper");
    const chosen = plan.querySelector(".chosen");
    if (chosen) {
      const [mine, all] = [chosen.getBoundingClientRect(), paper.getBoundingClientRect()];
      paper.scrollLeft += mine.left + mine.width / 2 - all.left - all.width / 2;
      paper.scrollTop += mine.top + mine.height / 2 - all.top - all.height / 2;
    }
    (solid ? canvas : paper).focus({ preventScroll: true });
  }

  function wireFindings() {
    for (const button of document.querySelectorAll("button[data-show]")) {
      button.hidden = false;
      button.addEventListener("click", () => showFinding(Number(button.dataset.show)));
    }
  }

  document.documentElement.classList.add("scripted");
  wirePlan();
  wireFindings();
  if (solid) {
    wireSolid();
  } else {
    byId("solid-view").classList.add("missing");
    byId("no-solid").hidden = false;
  }
  document.documentElement.dataset.ready = solid ? "solid and plan" : "plan";
})();
