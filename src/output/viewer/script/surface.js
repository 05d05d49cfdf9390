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

/* Of every facet its unit normal, and its area. Loops over facets are written out: lists made on the way
   would take most of their time. */
function facetNormals({ points, corners, size }) {
  const count = corners.length / 3;
  const normals = new Float32Array(3 * count);
  const areas = new Float32Array(count);
  const [sx, sy, sz] = size.map((side) => side / BOX_STEPS);
  for (let facet = 0; facet < count; facet++) {
    const [a, b, c] = [3 * corners[3 * facet], 3 * corners[3 * facet + 1], 3 * corners[3 * facet + 2]];
    const ux = (points[b] - points[a]) * sx;
    const uy = (points[b + 1] - points[a + 1]) * sy;
    const uz = (points[b + 2] - points[a + 2]) * sz;
    const vx = (points[c] - points[a]) * sx;
    const vy = (points[c + 1] - points[a + 1]) * sy;
    const vz = (points[c + 2] - points[a + 2]) * sz;
    const x = uy * vz - uz * vy;
    const y = uz * vx - ux * vz;
    const z = ux * vy - uy * vx;
    const long = Math.sqrt(x * x + y * y + z * z);
    areas[facet] = long / 2;
    if (long > 0) {
      normals[3 * facet] = x / long;
      normals[3 * facet + 1] = y / long;
      normals[3 * facet + 2] = z / long;
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
  for (let corner = 0; corner < list.length; corner++) {
    list[filled[mesh.corners[corner]]++] = corner;
  }
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
    const facet = (corner / 3) | 0;
    const point = mesh.corners[corner];
    let x = 0;
    let y = 0;
    let z = 0;
    for (let at = starts[point]; at < starts[point + 1]; at++) {
      const other = (list[at] / 3) | 0;
      if (other === facet || facing(normals, facet, other) > CREASE) {
        x += normals[3 * other] * areas[other];
        y += normals[3 * other + 1] * areas[other];
        z += normals[3 * other + 2] * areas[other];
      }
    }
    const scale = FULL_NORMAL / (Math.sqrt(x * x + y * y + z * z) || 1);
    const place = (CORNER_BYTES / 2) * corner;
    places[place] = mesh.points[3 * point];
    places[place + 1] = mesh.points[3 * point + 1];
    places[place + 2] = mesh.points[3 * point + 2];
    const normal = CORNER_BYTES * corner + 8;
    small[normal] = Math.round(x * scale);
    small[normal + 1] = Math.round(y * scale);
    small[normal + 2] = Math.round(z * scale);
  }
  return buffer;
}

/* The facet on the other side of the edge from one point to another; the facet itself if there is none. */
function beyond(mesh, { starts, list }, facet, from, to) {
  for (let at = starts[from]; at < starts[from + 1]; at++) {
    const corner = list[at];
    const other = (corner / 3) | 0;
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
    const facet = (corner / 3) | 0;
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
    for (let side = 0; side < 2; side++, end++) {
      const place = (EDGE_BYTES / 2) * end;
      const normal = EDGE_BYTES * end + 8;
      for (let axis = 0; axis < 3; axis++) {
        places[place + axis] = mesh.points[3 * found[at + side] + axis];
        small[normal + axis] = Math.round(normals[3 * found[at + 2] + axis] * FULL_NORMAL);
        small[normal + 4 + axis] = Math.round(normals[3 * found[at + 3] + axis] * FULL_NORMAL);
      }
      places[place + 3] = found[at + 4];
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
