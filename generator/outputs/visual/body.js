// A part's mesh as the canvas and the pointer need it: corners with normals, sharp edges, the first face on a ray.

const SHARP = Math.cos((28 * Math.PI) / 180);

function decoded(text) {
  const raw = atob(text);
  const bytes = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) bytes[i] = raw.charCodeAt(i);
  return bytes.buffer;
}

// A packed mesh as corners (mm, at their height in the assembly) and numbers of corners.
function unpacked(part) {
  const mesh = part.mesh;
  const points = new Float32Array(decoded(mesh.points));
  for (let i = 2; i < points.length; i += 3) points[i] += part.seat;
  const buffer = decoded(mesh.triangles);
  return { points: points, triangles: mesh.wide ? new Uint32Array(buffer) : new Uint16Array(buffer) };
}

function faceNormals(points, triangles) {
  const out = new Float32Array(triangles.length);
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const u = [0, 1, 2].map((k) => points[b + k] - points[a + k]);
    const v = [0, 1, 2].map((k) => points[c + k] - points[a + k]);
    const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const size = Math.hypot(n[0], n[1], n[2]) || 1;
    for (let k = 0; k < 3; k++) out[t + k] = n[k] / size;
  }
  return out;
}

function dot3(a, i, b, j) {
  return a[i] * b[j] + a[i + 1] * b[j + 1] + a[i + 2] * b[j + 2];
}

// Corners for drawing: each triangle has its own, with a normal that is smooth over chords of one arc.
function shadedCorners(mesh) {
  const { points, triangles, normals } = mesh;
  const around = Array.from({ length: points.length / 3 }, () => []);
  for (let i = 0; i < triangles.length; i++) around[triangles[i]].push(i - (i % 3));
  const out = new Float32Array(6 * triangles.length);
  for (let i = 0; i < triangles.length; i++) {
    const own = i - (i % 3);
    const sum = [0, 0, 0];
    for (const t of around[triangles[i]]) {
      if (dot3(normals, own, normals, t) < SHARP) continue;
      for (let k = 0; k < 3; k++) sum[k] += normals[t + k];
    }
    out.set(points.subarray(3 * triangles[i], 3 * triangles[i] + 3), 6 * i);
    // of one length, or the slope between them would turn over beyond the ends of a sliver
    const size = Math.hypot(...sum) || 1;
    out.set(sum.map((v) => v / size), 6 * i + 3);
  }
  return out;
}

// Ends of the edges where two faces meet at an angle.
function sharpEdges(mesh) {
  const { points, triangles, normals } = mesh;
  const count = points.length / 3;
  const seen = new Map();
  const out = [];
  // slivers of a level face may be turned over by rounding, and are no edge for that
  const isLevel = (s, t) => [s, s + 1, s + 2, t, t + 1, t + 2].every((i) => height(i) === height(s));
  const height = (i) => points[3 * triangles[i] + 2];
  for (let i = 0; i < triangles.length; i++) {
    const own = i - (i % 3);
    const a = triangles[i];
    const b = triangles[own + ((i + 1) % 3)];
    const key = Math.min(a, b) * count + Math.max(a, b);
    if (!seen.has(key)) {
      seen.set(key, own);
    } else if (!isLevel(own, seen.get(key)) && dot3(normals, own, normals, seen.get(key)) < SHARP) {
      for (const corner of [a, b]) out.push(points[3 * corner], points[3 * corner + 1], points[3 * corner + 2]);
    }
  }
  return new Float32Array(out);
}

function boxOf(bodies) {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (const body of bodies) {
    const p = body.mesh.points;
    for (let i = 0; i < p.length; i++) {
      low[i % 3] = Math.min(low[i % 3], p[i]);
      high[i % 3] = Math.max(high[i % 3], p[i]);
    }
  }
  return { low: low, high: high };
}

// The first triangle on a ray (after Moeller and Trumbore, 1997) on the side of the cut that stays.
function firstHit(body, from, way, cut) {
  const { points, triangles, normals } = body.mesh;
  const [dx, dy, dz] = way;
  let best = null;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t], 3 * triangles[t + 1], 3 * triangles[t + 2]];
    const ux = points[b] - points[a], uy = points[b + 1] - points[a + 1], uz = points[b + 2] - points[a + 2];
    const vx = points[c] - points[a], vy = points[c + 1] - points[a + 1], vz = points[c + 2] - points[a + 2];
    const px = dy * vz - dz * vy, py = dz * vx - dx * vz, pz = dx * vy - dy * vx;
    const det = ux * px + uy * py + uz * pz;
    if (Math.abs(det) < 1e-12) continue;
    const wx = from[0] - points[a], wy = from[1] - points[a + 1], wz = from[2] - points[a + 2];
    const share = (wx * px + wy * py + wz * pz) / det;
    if (share < 0 || share > 1) continue;
    const qx = wy * uz - wz * uy, qy = wz * ux - wx * uz, qz = wx * uy - wy * ux;
    const other = (dx * qx + dy * qy + dz * qz) / det;
    if (other < 0 || share + other > 1) continue;
    const far = (vx * qx + vy * qy + vz * qz) / det;
    if (best !== null && far >= best.far) continue;
    const point = [from[0] + far * dx, from[1] + far * dy, from[2] + far * dz];
    if (cut[0] * point[0] + cut[1] * point[1] + cut[2] * point[2] > cut[3]) continue;
    const normal = [normals[t], normals[t + 1], normals[t + 2]];
    best = { body: body, far: far, point: point, normal: normal, inner: dot3(normal, 0, way, 0) > 0 };
  }
  return best;
}
