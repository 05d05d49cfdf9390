/* Draws pieces in their poses with WebGL2: lit faces, outlines and creases, cuts filled and hatched.

   By parallel projection: no length changes with its distance. A cut is filled part by part: counting
   back faces against front faces of what is left says in the stencil where the plane lies inside. */

const FACE_SHADER = [
  `#version 300 es
  layout(location = 0) in vec3 place;
  layout(location = 1) in vec3 normal;
  uniform mat4 fromMesh;
  uniform mat3 turned;
  uniform mat4 toScreen;
  out vec3 world;
  out vec3 facing;
  void main() {
    vec4 at = fromMesh * vec4(place, 1.0);
    world = at.xyz;
    facing = turned * normal;
    gl_Position = toScreen * at;
  }`,
  `#version 300 es
  precision highp float;
  uniform vec4 cut;
  uniform vec3 colour;
  uniform vec3 light;
  uniform float flatness;
  in vec3 world;
  in vec3 facing;
  out vec4 painted;
  void main() {
    if (dot(cut, vec4(world, 1.0)) > 0.0) discard;
    vec3 normal = normalize(gl_FrontFacing ? facing : -facing);
    float lit = 0.66 + 0.34 * dot(normal, light);
    painted = vec4(mix(colour * lit, colour, flatness), 1.0);
  }`,
];

const EDGE_SHADER = [
  `#version 300 es
  layout(location = 0) in vec4 place;
  layout(location = 1) in vec3 one;
  layout(location = 2) in vec3 other;
  uniform mat4 fromMesh;
  uniform mat3 turned;
  uniform mat4 toScreen;
  uniform vec3 eye;
  out vec3 world;
  void main() {
    vec4 at = fromMesh * vec4(place.xyz, 1.0);
    world = at.xyz;
    gl_Position = toScreen * at;
    gl_Position.z -= 0.0006;
    bool outline = dot(turned * one, eye) * dot(turned * other, eye) <= 0.0;
    if (place.w < 0.5 && !outline) gl_Position = vec4(2.0, 2.0, 2.0, 1.0);
  }`,
  `#version 300 es
  precision highp float;
  uniform vec4 cut;
  uniform vec4 colour;
  uniform float dash;
  in vec3 world;
  out vec4 painted;
  void main() {
    if (dot(cut, vec4(world, 1.0)) > 0.0) discard;
    if (dash > 0.0 && fract((gl_FragCoord.x + 0.37 * gl_FragCoord.y) / dash) > 0.6) discard;
    painted = colour;
  }`,
];

const CAP_SHADER = [
  `#version 300 es
  layout(location = 0) in vec2 corner;
  uniform vec3 origin;
  uniform vec3 along;
  uniform vec3 across;
  uniform float reach;
  uniform mat4 toScreen;
  out vec2 place;
  void main() {
    place = corner * reach;
    gl_Position = toScreen * vec4(origin + place.x * along + place.y * across, 1.0);
  }`,
  `#version 300 es
  precision highp float;
  uniform vec3 colour;
  uniform vec3 ink;
  uniform vec2 hatch;
  uniform float dots;
  uniform float thick;
  in vec2 place;
  out vec4 painted;
  void main() {
    float from = (place.y * cos(hatch.x) - place.x * sin(hatch.x)) * dots / hatch.y;
    float off = abs(fract(from) - 0.5) * hatch.y;
    painted = vec4(mix(ink, colour, smoothstep(thick * 0.5, thick * 0.5 + 1.0, off)), 1.0);
  }`,
];

/* From dash to dash, in pixels. */
const DASH = 7;
/* Nothing is cut away by this plane. */
const NO_CUT = [0, 0, 0, -1];

function compiled(gl, kind, text) {
  const shader = gl.createShader(kind);
  gl.shaderSource(shader, text);
  gl.compileShader(shader);
  return shader;
}

/* A program with its uniforms by name. */
function programOf(gl, [vertex, fragment]) {
  const program = gl.createProgram();
  gl.attachShader(program, compiled(gl, gl.VERTEX_SHADER, vertex));
  gl.attachShader(program, compiled(gl, gl.FRAGMENT_SHADER, fragment));
  gl.linkProgram(program);
  if (!gl.getProgramParameter(program, gl.LINK_STATUS)) {
    throw new Error(gl.getProgramInfoLog(program) || "a shader is refused");
  }
  const uniforms = {};
  const count = gl.getProgramParameter(program, gl.ACTIVE_UNIFORMS);
  for (let index = 0; index < count; index++) {
    const { name } = gl.getActiveUniform(program, index);
    uniforms[name] = gl.getUniformLocation(program, name);
  }
  return { program, uniforms };
}

/* A list of vertices on the graphics side. Attributes: [size, type, whether it is a share, offset]. */
function verticesOf(gl, bytes, stride, attributes) {
  const array = gl.createVertexArray();
  const buffer = gl.createBuffer();
  gl.bindVertexArray(array);
  gl.bindBuffer(gl.ARRAY_BUFFER, buffer);
  gl.bufferData(gl.ARRAY_BUFFER, bytes, gl.STATIC_DRAW);
  attributes.forEach(([size, type, share, offset], index) => {
    gl.enableVertexAttribArray(index);
    gl.vertexAttribPointer(index, size, type, share, stride, offset);
  });
  return { array, buffer, count: bytes.byteLength / stride };
}

class Painter {
  constructor(gl, mechanisms) {
    this.gl = gl;
    this.faces = programOf(gl, FACE_SHADER);
    this.edges = programOf(gl, EDGE_SHADER);
    this.caps = programOf(gl, CAP_SHADER);
    this.held = [];
    this.take(mechanisms);
    const square = new Float32Array([-1, -1, 1, -1, -1, 1, 1, 1]);
    this.square = verticesOf(gl, square, 8, [[2, gl.FLOAT, false, 0]]);
    this.outline = verticesOf(gl, new Float32Array(0), 12, [[3, gl.FLOAT, false, 0]]);
  }

  /* Takes mechanisms in place of those that it has. */
  take(mechanisms) {
    const { gl } = this;
    for (const { array, buffer } of this.held) {
      gl.deleteVertexArray(array);
      gl.deleteBuffer(buffer);
    }
    this.held = mechanisms.flatMap(({ parts }) => parts).flatMap((part) => {
      const surface = surfaceOf(part.mesh);
      part.corners = verticesOf(gl, surface.corners, CORNER_BYTES, [
        [3, gl.UNSIGNED_SHORT, true, 0],
        [3, gl.BYTE, true, 8],
      ]);
      part.edges = verticesOf(gl, surface.edges, EDGE_BYTES, [
        [4, gl.UNSIGNED_SHORT, true, 0],
        [3, gl.BYTE, true, 8],
        [3, gl.BYTE, true, 12],
      ]);
      return [part.corners, part.edges];
    });
  }

  /* Begins a picture: clear, as the page's own paper shows through. */
  begin(width, height) {
    const { gl } = this;
    gl.bindFramebuffer(gl.FRAMEBUFFER, null);
    gl.disable(gl.SCISSOR_TEST);
    gl.viewport(0, 0, width, height);
    gl.clearColor(0, 0, 0, 0);
    gl.stencilMask(255);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT | gl.STENCIL_BUFFER_BIT);
  }

  /* Draws pieces in a window of the canvas.

     window: [left, bottom, width, height] in dots; look: eye, toScreen, dots a mm; cut: the plane, what
     lies in it, or null; pieces: part, matrices, colours, and the room that they take on the canvas. */
  draw(window, look, cut, pieces) {
    const { gl } = this;
    gl.viewport(...window);
    gl.enable(gl.SCISSOR_TEST);
    gl.scissor(...window);
    gl.enable(gl.DEPTH_TEST);
    gl.depthFunc(gl.LEQUAL);
    const plane = cut ? cut.plane : NO_CUT;
    if (!cut || !cut.alone) {
      this.drawFaces(look, plane, pieces);
    }
    if (cut) {
      for (const piece of pieces) {
        gl.scissor(...piece.room);
        this.drawCap(look, cut, piece);
      }
      gl.scissor(...window);
    }
    if (!cut || !cut.alone) {
      this.drawEdges(look, plane, pieces);
      this.drawHidden(look, plane, pieces);
    }
    if (cut) {
      this.drawOutlines(look, cut, pieces);
    }
  }

  use({ program, uniforms }, look) {
    this.gl.useProgram(program);
    this.gl.uniformMatrix4fv(uniforms.toScreen, false, look.toScreen);
    return uniforms;
  }

  place(uniforms, piece) {
    this.gl.uniformMatrix4fv(uniforms.fromMesh, false, piece.fromMesh);
    this.gl.uniformMatrix3fv(uniforms.turned, false, piece.turned);
  }

  drawFaces(look, plane, pieces) {
    const { gl } = this;
    const uniforms = this.use(this.faces, look);
    gl.uniform4fv(uniforms.cut, plane);
    gl.uniform3fv(uniforms.light, look.light);
    gl.uniform1f(uniforms.flatness, look.flat ? 1 : 0);
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    for (const piece of pieces) {
      this.place(uniforms, piece);
      gl.uniform3fv(uniforms.colour, piece.colour);
      gl.bindVertexArray(piece.part.corners.array);
      gl.drawArrays(gl.TRIANGLES, 0, piece.part.corners.count);
    }
    gl.disable(gl.POLYGON_OFFSET_FILL);
  }

  drawCap(look, cut, piece) {
    const { gl } = this;
    const faces = this.use(this.faces, look);
    gl.clear(gl.STENCIL_BUFFER_BIT);
    gl.enable(gl.STENCIL_TEST);
    gl.disable(gl.DEPTH_TEST);
    gl.colorMask(false, false, false, false);
    gl.stencilFunc(gl.ALWAYS, 0, 255);
    gl.stencilOpSeparate(gl.FRONT, gl.KEEP, gl.KEEP, gl.DECR_WRAP);
    gl.stencilOpSeparate(gl.BACK, gl.KEEP, gl.KEEP, gl.INCR_WRAP);
    gl.uniform4fv(faces.cut, cut.plane);
    this.place(faces, piece);
    gl.bindVertexArray(piece.part.corners.array);
    gl.drawArrays(gl.TRIANGLES, 0, piece.part.corners.count);

    const uniforms = this.use(this.caps, look);
    gl.enable(gl.DEPTH_TEST);
    gl.colorMask(true, true, true, true);
    gl.stencilFunc(gl.NOTEQUAL, 0, 255);
    gl.stencilOp(gl.KEEP, gl.KEEP, gl.KEEP);
    gl.uniform3fv(uniforms.origin, cut.origin);
    gl.uniform3fv(uniforms.along, cut.along);
    gl.uniform3fv(uniforms.across, cut.across);
    gl.uniform1f(uniforms.reach, cut.reach);
    gl.uniform1f(uniforms.dots, look.dots);
    gl.uniform1f(uniforms.thick, look.ratio);
    const { angle, step } = piece.part.hatch;
    gl.uniform2f(uniforms.hatch, (angle * Math.PI) / 180, step * look.ratio);
    gl.uniform3fv(uniforms.colour, piece.filling);
    gl.uniform3fv(uniforms.ink, piece.hatching);
    gl.bindVertexArray(this.square.array);
    gl.drawArrays(gl.TRIANGLE_STRIP, 0, 4);
    gl.disable(gl.STENCIL_TEST);
  }

  drawEdges(look, plane, pieces, dash = 0) {
    const { gl } = this;
    const uniforms = this.use(this.edges, look);
    gl.uniform1f(uniforms.dash, dash);
    gl.uniform4fv(uniforms.cut, plane);
    gl.uniform3fv(uniforms.eye, look.eye);
    for (const piece of pieces) {
      this.place(uniforms, piece);
      gl.uniform4f(uniforms.colour, ...piece.ink, 1);
      gl.bindVertexArray(piece.part.edges.array);
      gl.drawArrays(gl.LINES, 0, piece.part.edges.count);
    }
  }

  /* Edges of what is meant that lie behind something, dashed (ISO 128-2, Technical product documentation,
     General principles of representation, Part 2: Basic conventions for lines; from memory). */
  drawHidden(look, plane, pieces) {
    const { gl } = this;
    const meant = pieces.filter((piece) => piece.isMeant);
    const hidden = meant.map((piece) => ({ ...piece, ink: piece.hidden }));
    gl.depthFunc(gl.GREATER);
    this.drawEdges(look, plane, hidden, DASH * look.ratio);
    gl.depthFunc(gl.LEQUAL);
  }

  /* The outlines of the cut faces, found anew for every state. */
  drawOutlines(look, cut, pieces) {
    const { gl } = this;
    const uniforms = this.use(this.edges, look);
    gl.uniform4fv(uniforms.cut, NO_CUT);
    gl.uniform3fv(uniforms.eye, look.eye);
    gl.uniform1f(uniforms.dash, 0);
    gl.bindVertexArray(this.outline.array);
    gl.bindBuffer(gl.ARRAY_BUFFER, this.outline.buffer);
    /* Without its second and third list every line counts as an outline. */
    gl.vertexAttrib3f(1, 0, 0, 0);
    gl.vertexAttrib3f(2, 0, 0, 0);
    for (const piece of pieces) {
      const ends = new Float32Array(crossed(piece.part.mesh, planeInSteps(cut.plane, piece)));
      gl.bufferData(gl.ARRAY_BUFFER, ends, gl.STREAM_DRAW);
      gl.uniformMatrix4fv(uniforms.fromMesh, false, piece.fromSteps);
      gl.uniformMatrix3fv(uniforms.turned, false, piece.turned);
      gl.uniform4f(uniforms.colour, ...piece.ink, 1);
      gl.drawArrays(gl.LINES, 0, ends.length / 3);
    }
  }

  /* Which of the pieces is seen at a dot of a window, by its place in the list; null if none is. */
  pick(window, look, cut, pieces, [x, y]) {
    const { gl } = this;
    const numbered = pieces.map((piece, index) => ({ ...piece, colour: [(index + 1) / 255, 0, 0] }));
    gl.viewport(...window);
    gl.enable(gl.SCISSOR_TEST);
    gl.scissor(x, y, 1, 1);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    this.drawFaces({ ...look, flat: true }, cut ? cut.plane : NO_CUT, numbered);
    const dot = new Uint8Array(4);
    gl.readPixels(x, y, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, dot);
    return dot[0] > 0 && dot[0] <= pieces.length ? dot[0] - 1 : null;
  }
}

/* The matrices of a piece: from shares of its box, and from steps of it. */
function matricesOf(pose, mesh) {
  const from = (sides) => {
    const low = placed(pose, mesh.low);
    const columns = [0, 1, 2].map((axis) => pose.map((row) => row[axis] * sides[axis]));
    return new Float32Array([...columns[0], 0, ...columns[1], 0, ...columns[2], 0, ...low, 1]);
  };
  return {
    fromMesh: from(mesh.size),
    fromSteps: from(mesh.size.map((side) => side / BOX_STEPS)),
    turned: new Float32Array([0, 1, 2].flatMap((axis) => pose.map((row) => row[axis]))),
  };
}

/* A plane of the assembly as one of a piece's box, counted in steps. */
function planeInSteps([a, b, c, d], { fromSteps }) {
  const along = (column) =>
    a * fromSteps[4 * column] + b * fromSteps[4 * column + 1] + c * fromSteps[4 * column + 2];
  return [along(0), along(1), along(2), -(along(3) + d)];
}
