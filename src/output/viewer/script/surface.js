/* From a mesh to what is drawn of it: corners with normals, and edges with the normals beside them.

   Facets that meet at less than the crease angle belong to one curved face and share their normals;
   the edge between others is a crease and is drawn from everywhere. Edges of curved faces are drawn
   only where they are the outline, which hangs on where they are seen from. */

/* Chords of a pin of 4 mm at a tenth of a millimetre meet at 36 degrees; chamfers at 45. */
const CREASE = Math.cos((40 * Math.PI) / 180);
/* Bytes of a corner: three places of 16 bits, two idle, three normals of 8 bits, one idle. */
const CORNER_BYTES = 12;
/* Bytes of an end of an edge: three places and the crease, and two normals of four. */
const EDGE_BYTES = 16;
const FULL_NORMAL = 127;

function surfaceOf(mesh) {
  const facets = facetNormals(mesh);
  const around = cornersAround(mesh);
  return {
    corners: corners(mesh, facets, around),
    edges: edges(mesh, facets, around),
  };
}

/* Of every facet its unit normal, and its area. */
function facetNormals(mesh) {
  const count = mesh.corners.length / 3;
  const normals = new Float32Array(3 * count);
  const areas = new Float32Array(count);
  const step = mesh.size.map((side) => side / BOX_STEPS);
  const place = (corner, axis) => mesh.points[3 * mesh.corners[corner] + axis] * step[axis];
  for (let facet = 0; facet < count; facet++) {
    const a = 3 * facet;
    const [ux, uy, uz] = [0, 1, 2].map((axis) => place(a + 1, axis) - place(a, axis));
    const [vx, vy, vz] = [0, 1, 2].map((axis) => place(a + 2, axis) - place(a, axis));
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx];
    const long = Math.hypot(x, y, z);
    areas[facet] = long / 2;
    if (long > 0) {
      normals.set([x / long, y / long, z / long], a);
    }
  }
  return { normals, areas };
}

/* Which corners of facets meet in each point: those of point p are listed from starts[p] on. */
function cornersAround(mesh) {
  const points = mesh.points.length / 3;
  const starts = new Uint32Array(points + 1);
  for (const point of mesh.corners) {
    starts[point + 1]++;
  }
  for (let point = 0; point < points; point++) {
    starts[point + 1] += starts[point];
  }
  const list = new Uint32Array(mesh.corners.length);
  const filled = starts.slice();
  mesh.corners.forEach((point, corner) => {
    list[filled[point]++] = corner;
  });
  return { starts, list };
}

function facing(normals, one, other) {
  const [a, b] = [3 * one, 3 * other];
  return (
    normals[a] * normals[b] + normals[a + 1] * normals[b + 1] + normals[a + 2] * normals[b + 2]
  );
}

function corners(mesh, { normals, areas }, { starts, list }) {
  const count = mesh.corners.length;
  const buffer = new ArrayBuffer(count * CORNER_BYTES);
  const places = new Uint16Array(buffer);
  const small = new Int8Array(buffer);
  for (let corner = 0; corner < count; corner++) {
    const facet = Math.floor(corner / 3);
    const point = mesh.corners[corner];
    let [x, y, z] = [0, 0, 0];
    for (let at = starts[point]; at < starts[point + 1]; at++) {
      const other = Math.floor(list[at] / 3);
      if (other === facet || facing(normals, facet, other) > CREASE) {
        x += normals[3 * other] * areas[other];
        y += normals[3 * other + 1] * areas[other];
        z += normals[3 * other + 2] * areas[other];
      }
    }
    const scale = FULL_NORMAL / (Math.hypot(x, y, z) || 1);
    for (let axis = 0; axis < 3; axis++) {
      places[(CORNER_BYTES / 2) * corner + axis] = mesh.points[3 * point + axis];
    }
    small.set([x * scale, y * scale, z * scale].map(Math.round), CORNER_BYTES * corner + 8);
  }
  return buffer;
}

/* The facet on the other side of the edge from one point to another; the facet itself if there is none. */
function beyond(mesh, { starts, list }, facet, from, to) {
  for (let at = starts[from]; at < starts[from + 1]; at++) {
    const corner = list[at];
    const other = Math.floor(corner / 3);
    const before = 3 * other + ((corner + 2) % 3);
    if (mesh.corners[before] === to) {
      return other;
    }
  }
  return facet;
}

function edges(mesh, { normals }, around) {
  const count = mesh.corners.length;
  const found = [];
  for (let corner = 0; corner < count; corner++) {
    const facet = Math.floor(corner / 3);
    const from = mesh.corners[corner];
    const to = mesh.corners[3 * facet + ((corner + 1) % 3)];
    if (from < to) {
      const other = beyond(mesh, around, facet, from, to);
      const turn = facing(normals, facet, other);
      /* In a plane no edge is ever an outline. */
      if (turn < 0.9999) {
        found.push(from, to, facet, other, turn < CREASE ? BOX_STEPS : 0);
      }
    }
  }
  const buffer = new ArrayBuffer((found.length / 5) * 2 * EDGE_BYTES);
  const places = new Uint16Array(buffer);
  const small = new Int8Array(buffer);
  for (let at = 0, end = 0; at < found.length; at += 5) {
    for (const point of [found[at], found[at + 1]]) {
      places.set(mesh.points.subarray(3 * point, 3 * point + 3), (EDGE_BYTES / 2) * end);
      places[(EDGE_BYTES / 2) * end + 3] = found[at + 4];
      for (const [side, facet] of [found[at + 2], found[at + 3]].entries()) {
        for (let axis = 0; axis < 3; axis++) {
          const place = EDGE_BYTES * end + 8 + 4 * side + axis;
          small[place] = Math.round(normals[3 * facet + axis] * FULL_NORMAL);
        }
      }
      end++;
    }
  }
  return buffer;
}

/* Where the facets of a mesh cross a plane a x + b y + c z = d, in steps of its box: pairs of ends. */
function crossed(mesh, [a, b, c, d]) {
  const points = mesh.points.length / 3;
  const above = new Float32Array(points);
  for (let point = 0, at = 0; point < points; point++, at += 3) {
    above[point] =
      a * mesh.points[at] + b * mesh.points[at + 1] + c * mesh.points[at + 2] - d;
  }
  const ends = [];
  const cross = (one, other) => {
    const share = above[one] / (above[one] - above[other]);
    for (let axis = 0; axis < 3; axis++) {
      const from = mesh.points[3 * one + axis];
      ends.push(from + share * (mesh.points[3 * other + axis] - from));
    }
  };
  for (let at = 0; at < mesh.corners.length; at += 3) {
    const [i, j, k] = [mesh.corners[at], mesh.corners[at + 1], mesh.corners[at + 2]];
    const [p, q, r] = [above[i] < 0, above[j] < 0, above[k] < 0];
    if (p !== q) {
      cross(i, j);
    }
    if (q !== r) {
      cross(j, k);
    }
    if (r !== p) {
      cross(k, i);
    }
  }
  return ends;
}
