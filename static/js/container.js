/**
 * Opens a container of the server: named arrays and the plain numbers that go with them.
 *
 * @typedef {{shape: number[], values: Float32Array | Uint16Array}} NamedArray half floats stay as their 16 bits
 */
export class Container {
  /** @param {ArrayBuffer} buffer */
  constructor(buffer) {
    const length = new DataView(buffer).getUint32(0, true);
    this.head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
    /** @type {Map<string, NamedArray>} */
    this.arrays = new Map();
    for (const [name, [kind, shape, offset]] of Object.entries(this.head.arrays)) {
      const count = shape.reduce((/** @type {number} */ all, /** @type {number} */ one) => all * one, 1);
      const Numbers = kind === "f2" ? Uint16Array : Float32Array;
      this.arrays.set(name, { shape, values: new Numbers(buffer, 4 + length + offset, count) });
    }
  }

  /** @param {string} name @returns {NamedArray} */
  get(name) {
    const found = this.arrays.get(name);
    if (!found) throw new Error(`the light lacks ${name}`);
    return found;
  }
}
