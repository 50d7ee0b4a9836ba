import assert from "node:assert/strict";
import test from "node:test";
import { readWall } from "../../static/js/glb_reader.js";

/** A GLB with the given parts, each one primitive of quads with a surface id a face. */
function glb(parts) {
  const chunks = [];
  let length = 0;
  const accessors = [];
  const bufferViews = [];
  const add = (array, type, componentType, count, byteStride) => {
    const bytes = new Uint8Array(array.buffer);
    const padded = new Uint8Array(Math.ceil(bytes.length / 4) * 4);
    padded.set(bytes);
    bufferViews.push({
      buffer: 0,
      byteOffset: length,
      byteLength: bytes.length,
      ...(byteStride && { byteStride }),
    });
    accessors.push({ bufferView: bufferViews.length - 1, byteOffset: 0, componentType, count, type });
    chunks.push(padded);
    length += padded.length;
    return accessors.length - 1;
  };
  const nodes = [];
  const meshes = [];
  for (const { name, surfaces } of parts) {
    const count = 4 * surfaces.length;
    const position = Float32Array.from({ length: 3 * count }, (_, k) => k);
    const surface = new Uint8Array(4 * count);
    surfaces.forEach((id, face) => [0, 1, 2, 3].forEach((corner) => (surface[4 * (4 * face + corner)] = id)));
    const index = Uint16Array.from(
      surfaces.flatMap((_, face) => [0, 1, 2, 0, 2, 3].map((k) => 4 * face + k)),
    );
    meshes.push({
      primitives: [
        {
          attributes: {
            POSITION: add(position, "VEC3", 5126, count, 12),
            NORMAL: add(position, "VEC3", 5126, count, 12),
            _SURFACE: add(surface, "SCALAR", 5121, count, 4),
          },
          indices: add(index, "SCALAR", 5123, index.length),
        },
      ],
    });
    nodes.push({ name, mesh: meshes.length - 1 });
  }
  let text = new TextEncoder().encode(JSON.stringify({ nodes, meshes, accessors, bufferViews }));
  text = new Uint8Array([...text, ...Array(-text.length & 3).fill(32)]);
  const file = new Uint8Array(28 + text.length + length);
  const view = new DataView(file.buffer);
  view.setUint32(0, 0x46546c67, true);
  view.setUint32(4, 2, true);
  view.setUint32(8, file.length, true);
  view.setUint32(12, text.length, true);
  view.setUint32(16, 0x4e4f534a, true);
  file.set(text, 20);
  view.setUint32(20 + text.length, length, true);
  view.setUint32(24 + text.length, 0x004e4942, true);
  let at = 28 + text.length;
  for (const chunk of chunks) {
    file.set(chunk, at);
    at += chunk.length;
  }
  return file.buffer;
}

test("parts become one set of arrays with surface and slat number at each corner", () => {
  const wall = readWall(
    glb([
      { name: "slat/3", surfaces: [0, 1] },
      { name: "fabric/0", surfaces: [3] },
    ]),
  );
  assert.deepEqual([...wall.surface], [0, 0, 0, 0, 1, 1, 1, 1, 3, 3, 3, 3]);
  assert.deepEqual([...wall.slat], [3, 3, 3, 3, 3, 3, 3, 3, -1, -1, -1, -1]);
  assert.deepEqual([...wall.index].slice(12), [8, 9, 10, 8, 10, 11]);
  assert.equal(wall.position[3 * 8], 0, "the second part starts with its own first corner");
});

test("faces that touch another part are left out", () => {
  const wall = readWall(glb([{ name: "slat/0", surfaces: [0, 255, 2] }]));
  assert.deepEqual([...wall.index], [0, 1, 2, 0, 2, 3, 8, 9, 10, 8, 10, 11]);
});

test("anything but a GLB is refused", () => {
  assert.throws(() => readWall(new ArrayBuffer(8)), /not a binary glTF/);
  assert.throws(
    () => readWall(new TextEncoder().encode("<!doctype html> a page of errors").buffer),
    /not a binary/,
  );
});
