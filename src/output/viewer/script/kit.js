/* Reads what the page holds: the kit as data, and its meshes as bytes.

   The meshes are one stream: of each mesh all x, then all y, then all z of its corners, in steps of its
   box, then the corners of its facets; each number told by what it is more than the one before. */

/* Steps along each side of the box around a mesh. */
const BOX_STEPS = 65535;

function heldText(id) {
  return document.getElementById(id).textContent;
}

/* Bytes of a text in base 64, inflated. */
async function inflated(text) {
  const letters = atob(text.trim());
  const bytes = Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/* Reads differences one after the other: 7 bits a byte, the lowest first, the sign in the lowest bit. */
class Differences {
  constructor(bytes) {
    this.bytes = bytes;
    this.at = 0;
  }

  next() {
    let value = 0;
    let weight = 1;
    for (;;) {
      if (this.at >= this.bytes.length) {
        throw new Error("the meshes end too early");
      }
      const byte = this.bytes[this.at++];
      value += (byte & 127) * weight;
      if (byte < 128) {
        return value % 2 ? -(value + 1) / 2 : value / 2;
      }
      weight *= 128;
    }
  }
}

function unpackedMesh(head, differences) {
  const points = new Uint16Array(3 * head.points);
  for (let axis = 0; axis < 3; axis++) {
    let step = 0;
    for (let point = 0; point < head.points; point++) {
      step += differences.next();
      points[3 * point + axis] = step;
    }
  }
  const corners = new Uint32Array(3 * head.facets);
  let corner = 0;
  for (let at = 0; at < corners.length; at++) {
    corner += differences.next();
    corners[at] = corner;
  }
  return { points, corners, low: head.low, size: head.size };
}

/* The kit, each of its parts with its mesh. */
async function readKit(kit, meshes) {
  const told = JSON.parse(kit);
  const differences = new Differences(await inflated(meshes));
  for (const mechanism of mechanismsOf(told)) {
    for (const part of mechanism.parts) {
      part.mesh = unpackedMesh(part.mesh, differences);
    }
  }
  return told;
}

function mechanismsOf(told) {
  return told.plain ? [told.kit, told.plain] : [told.kit];
}
