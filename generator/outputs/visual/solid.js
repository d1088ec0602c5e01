// Turns the parts in a canvas: parallel projection, hatched cut faces, parts apart along z. Nothing moves by itself; a
// picture is drawn when something changed.

const FACE_VERTEX = `#version 300 es
in vec3 place;
in vec3 normal;
uniform mat4 view;
uniform mat3 turn;
uniform float lift;
centroid out vec3 at;
centroid out vec3 facing;
void main() {
  at = place;
  facing = turn * normal;
  gl_Position = view * vec4(place.xy, place.z + lift, 1.0);
}`;

const FACE_FRAGMENT = `#version 300 es
precision highp float;
centroid in vec3 at;
centroid in vec3 facing;
uniform vec3 colour;
uniform vec3 towards;
uniform vec4 cut;
uniform vec3 hatch;
out vec4 shown;
void main() {
  if (dot(at, cut.xyz) > cut.w) discard;
  if (!gl_FrontFacing && dot(towards, cut.xyz) > 0.001) {
    // the eye looks through the cut into the body, and nothing lies between: this is the cut face
    float stripe = mod(gl_FragCoord.x + hatch.x * gl_FragCoord.y, hatch.y);
    float dark = stripe < hatch.y * 0.16 ? 0.45 : 1.0;
    shown = vec4(mix(colour, vec3(0.93, 0.62, 0.36), hatch.z) * dark, 1.0);
    return;
  }
  vec3 n = normalize(facing);
  float light = 0.4 + 0.56 * max(0.0, dot(n, vec3(-0.36, 0.52, 0.775))) + 0.2 * max(0.0, n.z);
  shown = vec4(min(vec3(1.0), colour * light), 1.0);
}`;

const EDGE_VERTEX = `#version 300 es
in vec3 place;
uniform mat4 view;
uniform float lift;
uniform float nearer;
out vec3 at;
void main() {
  at = place;
  gl_Position = view * vec4(place.xy, place.z + lift, 1.0);
  gl_Position.z -= nearer;
}`;

const EDGE_FRAGMENT = `#version 300 es
precision highp float;
in vec3 at;
uniform vec4 cut;
out vec4 shown;
void main() {
  if (dot(at, cut.xyz) > cut.w) discard;
  shown = vec4(0.09, 0.11, 0.14, 1.0);
}`;

function program(gl, vertex, fragment) {
  const made = gl.createProgram();
  for (const [kind, text] of [[gl.VERTEX_SHADER, vertex], [gl.FRAGMENT_SHADER, fragment]]) {
    const shader = gl.createShader(kind);
    gl.shaderSource(shader, text);
    gl.compileShader(shader);
    gl.attachShader(made, shader);
  }
  gl.bindAttribLocation(made, 0, "place");
  gl.bindAttribLocation(made, 1, "normal");
  gl.linkProgram(made);
  if (!gl.getProgramParameter(made, gl.LINK_STATUS)) throw new Error(gl.getProgramInfoLog(made) || "no program");
  const at = {};
  const many = gl.getProgramParameter(made, gl.ACTIVE_UNIFORMS);
  for (let i = 0; i < many; i++) {
    const name = gl.getActiveUniform(made, i).name;
    at[name] = gl.getUniformLocation(made, name);
  }
  return { made: made, at: at };
}

function bufferOf(gl, data) {
  const made = gl.createBuffer();
  gl.bindBuffer(gl.ARRAY_BUFFER, made);
  gl.bufferData(gl.ARRAY_BUFFER, data, gl.STATIC_DRAW);
  return made;
}

function rgbOf(colour) {
  return [1, 3, 5].map((i) => parseInt(colour.slice(i, i + 2), 16) / 255);
}

// How the cut face of a part is hatched: direction, distance of the stripes, warmth. What lies beside the cover is
// hatched the other way (ISO 128-3, from memory); the original, which is not made, wide and in its own colour.
function hatchOf(part, number) {
  if (part.goes < 0) return [-1, 16, 0.08];
  return number === 0 ? [1, 9, 0.55] : [-1, number % 2 ? 7 : 5, 0.4];
}

// Returns the turning view; null where the browser has no WebGL 2.
function makeSolid(canvas, parts) {
  const gl = canvas.getContext("webgl2", { antialias: true, preserveDrawingBuffer: true, stencil: true });
  if (!gl) return null;
  const faces = program(gl, FACE_VERTEX, FACE_FRAGMENT);
  const edges = program(gl, EDGE_VERTEX, EDGE_FRAGMENT);
  const bodies = parts.map((part, number) => {
    const mesh = unpacked(part);
    mesh.normals = faceNormals(mesh.points, mesh.triangles);
    const lines = sharpEdges(mesh);
    return {
      part: part,
      mesh: mesh,
      corners: bufferOf(gl, shadedCorners(mesh)),
      lines: bufferOf(gl, lines),
      lineEnds: lines.length / 3,
      colour: rgbOf(part.colour),
      hatch: hatchOf(part, number),
      shown: true,
      lift: 0,
    };
  });
  const box = boxOf(bodies);
  const middle = [0, 1, 2].map((k) => (box.low[k] + box.high[k]) / 2);
  const reach = Math.hypot(...[0, 1, 2].map((k) => box.high[k] - box.low[k])) / 2;
  const state = { yaw: -0.5, pitch: 0.65, zoom: 1, pan: [0, 0], apart: 0, axis: "", at: 0.5, fitted: [-0.5, 0.65] };

  function axes(yaw = state.yaw, pitch = state.pitch) {
    const [c, s, e, h] = [Math.cos(yaw), Math.sin(yaw), Math.sin(pitch), Math.cos(pitch)];
    return { right: [c, -s, 0], up: [s * e, c * e, h], towards: [-s * h, -c * h, e] };
  }

  function lifts() {
    const gap = 0.55 * reach * state.apart;
    bodies.forEach((body) => {
      body.lift = gap * body.part.goes;
    });
    return gap;
  }

  // Half of the room that the parts, apart as they are, take to the right and up as seen from a side.
  function halves(yaw, pitch) {
    const a = axes(yaw, pitch);
    const half = [0, 1, 2].map((k) => (box.high[k] - box.low[k]) / 2);
    half[2] += lifts();
    return [a.right, a.up].map((r) => Math.abs(r[0]) * half[0] + Math.abs(r[1]) * half[1] + Math.abs(r[2]) * half[2]);
  }

  // Pixels of the page for a millimetre: at zoom 1 the view that was last chosen by name fills the canvas.
  function scale() {
    const [wide, high] = halves(state.fitted[0], state.fitted[1]);
    return (state.zoom * 0.46 * Math.min(canvas.clientWidth / wide, canvas.clientHeight / high)) || 1;
  }

  function plane() {
    const k = "xyz".indexOf(state.axis);
    if (state.axis === "" || k < 0) return [0, 0, 0, 1];
    const n = [0, 0, 0];
    // the side nearer to the eye goes
    const sign = axes().towards[k] >= 0 ? 1 : -1;
    n[k] = sign;
    return [...n, sign * cutPlace()];
  }

  function cutPlace() {
    const k = Math.max(0, "xyz".indexOf(state.axis));
    return box.low[k] + (box.high[k] - box.low[k]) * state.at;
  }

  function matrix(a, depthPerMm) {
    const s = scale();
    const [sx, sy, sz] = [(2 * s) / canvas.clientWidth, (2 * s) / canvas.clientHeight, -2 * depthPerMm];
    const rows = [a.right.map((v) => v * sx), a.up.map((v) => v * sy), a.towards.map((v) => v * sz)];
    const ends = rows.map((r) => -(r[0] * middle[0] + r[1] * middle[1] + r[2] * middle[2]));
    ends[0] += (2 * state.pan[0]) / canvas.clientWidth;
    ends[1] += (2 * state.pan[1]) / canvas.clientHeight;
    const out = [];
    for (let k = 0; k < 3; k++) out.push(rows[0][k], rows[1][k], rows[2][k], 0);
    return new Float32Array([...out, ...ends, 1]);
  }

  function draw() {
    const dots = Math.min(2, window.devicePixelRatio || 1);
    const [w, h] = [Math.round(canvas.clientWidth * dots), Math.round(canvas.clientHeight * dots)];
    if (canvas.width !== w || canvas.height !== h) [canvas.width, canvas.height] = [w, h];
    gl.viewport(0, 0, w, h);
    gl.enable(gl.DEPTH_TEST);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);
    // where a cut face is seen, no edge behind it is drawn
    gl.enable(gl.STENCIL_TEST);
    gl.stencilFunc(gl.ALWAYS, 1, 1);
    gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.ZERO);
    gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.REPLACE);
    const a = axes();
    const depthPerMm = 0.5 / (reach + lifts() + 1);
    const view = matrix(a, depthPerMm);
    const cut = plane();
    gl.useProgram(faces.made);
    gl.uniformMatrix4fv(faces.at.view, false, view);
    const turn = [0, 1, 2].flatMap((k) => [a.right[k], a.up[k], a.towards[k]]);
    gl.uniformMatrix3fv(faces.at.turn, false, new Float32Array(turn));
    gl.uniform3fv(faces.at.towards, a.towards);
    gl.uniform4fv(faces.at.cut, cut);
    for (const body of bodies.filter((b) => b.shown)) {
      gl.uniform1f(faces.at.lift, body.lift);
      gl.uniform3fv(faces.at.colour, body.colour);
      gl.uniform3f(faces.at.hatch, body.hatch[0], body.hatch[1] * dots, body.hatch[2]);
      gl.bindBuffer(gl.ARRAY_BUFFER, body.corners);
      gl.enableVertexAttribArray(0);
      gl.enableVertexAttribArray(1);
      gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 24, 0);
      gl.vertexAttribPointer(1, 3, gl.FLOAT, false, 24, 12);
      gl.drawArrays(gl.TRIANGLES, 0, body.mesh.triangles.length);
    }
    gl.disableVertexAttribArray(1);
    gl.stencilFunc(gl.EQUAL, 0, 1);
    gl.stencilOp(gl.KEEP, gl.KEEP, gl.KEEP);
    gl.useProgram(edges.made);
    gl.uniformMatrix4fv(edges.at.view, false, view);
    gl.uniform4fv(edges.at.cut, cut);
    gl.uniform1f(edges.at.nearer, 2 * depthPerMm * 0.004 * reach);
    for (const body of bodies.filter((b) => b.shown)) {
      gl.uniform1f(edges.at.lift, body.lift);
      gl.bindBuffer(gl.ARRAY_BUFFER, body.lines);
      gl.vertexAttribPointer(0, 3, gl.FLOAT, false, 12, 0);
      gl.drawArrays(gl.LINES, 0, body.lineEnds);
    }
  }

  // Where a point of the assembly comes to lie in the canvas, in pixels of the page from its upper left corner.
  function project(point) {
    const a = axes();
    const s = scale();
    const p = point.map((v, k) => v - middle[k]);
    const [x, y] = [a.right, a.up].map((r) => s * (r[0] * p[0] + r[1] * p[1] + r[2] * p[2]));
    return [canvas.clientWidth / 2 + x + state.pan[0], canvas.clientHeight / 2 - y - state.pan[1]];
  }

  // What lies under a place in the canvas: body, point in the assembly, normal, and whether it is the cut face.
  function pick(px, py) {
    const a = axes();
    const s = scale();
    const x = (px - canvas.clientWidth / 2 - state.pan[0]) / s;
    const y = (canvas.clientHeight / 2 - py - state.pan[1]) / s;
    const far = 4 * (reach + lifts()) + 10;
    const from = [0, 1, 2].map((k) => middle[k] + a.right[k] * x + a.up[k] * y + a.towards[k] * far);
    const way = a.towards.map((v) => -v);
    const cut = plane();
    let best = null;
    for (const body of bodies.filter((b) => b.shown)) {
      const hit = firstHit(body, [from[0], from[1], from[2] - body.lift], way, cut);
      if (hit && (best === null || hit.far < best.far)) best = hit;
    }
    if (best && best.inner) {
      const slant = cut[0] * way[0] + cut[1] * way[1] + cut[2] * way[2];
      const p = best.point;
      const back = (cut[3] - cut[0] * p[0] - cut[1] * p[1] - cut[2] * p[2]) / slant;
      best.point = p.map((v, k) => v + back * way[k]);
    }
    return best;
  }

  return {
    state: state,
    bodies: bodies,
    draw: draw,
    pick: pick,
    project: project,
    cutPlace: cutPlace,
    box: box,
  };
}
