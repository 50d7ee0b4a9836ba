/**
 * Reads the server's GLB (glTF 2.0, one primitive a part) into one set of arrays: one draw call for the whole wall.
 * Faces that touch another part (surface 255) are left out.
 */

const GLTF = 0x46546c67;
const JSON_CHUNK = 0x4e4f534a;
/** surface of faces that touch another part */
export const UNSEEN = 255;
/** @type {Record<number, any>} */
const ARRAYS = { 5121: Uint8Array, 5123: Uint16Array, 5125: Uint32Array, 5126: Float32Array };
/** @type {Record<string, number>} */
const WIDTHS = { SCALAR: 1, VEC3: 3 };

/**
 * @typedef {object} Wall
 * @property {Float32Array} position (3 n) metres
 * @property {Float32Array} normal (3 n)
 * @property {Float32Array} surface (n) index of the surface word
 * @property {Float32Array} slat (n) number of the slat, -1 elsewhere
 * @property {Uint32Array} index triangles
 */

/** One GLB file, opened. */
class Glb {
  /** @param {ArrayBuffer} buffer */
  constructor(buffer) {
    const view = new DataView(buffer);
    const whole = view.byteLength >= 20 && view.getUint32(0, true) === GLTF;
    if (!whole || view.getUint32(16, true) !== JSON_CHUNK) throw new Error("not a binary glTF file");
    const length = view.getUint32(12, true);
    this.buffer = buffer;
    this.document = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 20, length)));
    this.binary = 20 + length + 8;
  }

  /** The numbers of one accessor, packed. @param {number} number */
  read(number) {
    const accessor = this.document.accessors[number];
    const view = this.document.bufferViews[accessor.bufferView];
    const Numbers = ARRAYS[accessor.componentType];
    const width = WIDTHS[accessor.type];
    const packed = width * Numbers.BYTES_PER_ELEMENT;
    const stride = view.byteStride ?? packed;
    const start = this.binary + (view.byteOffset ?? 0) + (accessor.byteOffset ?? 0);
    if (stride === packed) return new Numbers(this.buffer, start, accessor.count * width);
    const strided = new Numbers(
      this.buffer,
      start,
      ((accessor.count - 1) * stride) / Numbers.BYTES_PER_ELEMENT + width,
    );
    const numbers = new Numbers(accessor.count * width);
    const step = stride / Numbers.BYTES_PER_ELEMENT;
    for (let row = 0; row < accessor.count; row += 1) {
      for (let column = 0; column < width; column += 1) {
        numbers[row * width + column] = strided[row * step + column];
      }
    }
    return numbers;
  }
}

/** @param {ArrayBuffer} buffer @returns {Wall} */
export function readWall(buffer) {
  const glb = new Glb(buffer);
  const parts = glb.document.nodes.map((/** @type {any} */ node) => {
    const { attributes, indices } = glb.document.meshes[node.mesh].primitives[0];
    const [kind, number] = node.name.split("/");
    return {
      slat: kind === "slat" ? Number(number) : -1,
      position: glb.read(attributes.POSITION),
      normal: glb.read(attributes.NORMAL),
      surface: glb.read(attributes._SURFACE),
      index: glb.read(indices),
    };
  });
  const vertices = parts.reduce(
    (/** @type {number} */ sum, /** @type {any} */ part) => sum + part.surface.length,
    0,
  );
  const wall = {
    position: new Float32Array(3 * vertices),
    normal: new Float32Array(3 * vertices),
    surface: new Float32Array(vertices),
    slat: new Float32Array(vertices),
  };
  /** @type {number[]} */
  const index = [];
  let start = 0;
  for (const part of parts) {
    wall.position.set(part.position, 3 * start);
    wall.normal.set(part.normal, 3 * start);
    wall.surface.set(part.surface, start);
    wall.slat.fill(part.slat, start, start + part.surface.length);
    for (let corner = 0; corner < part.index.length; corner += 3) {
      if (part.surface[part.index[corner]] === UNSEEN) continue;
      for (let k = 0; k < 3; k += 1) index.push(start + part.index[corner + k]);
    }
    start += part.surface.length;
  }
  return { ...wall, index: Uint32Array.from(index) };
}
