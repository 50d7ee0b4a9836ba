/** Opens a container of the server: named arrays and the plain numbers that go with them. */
const KINDS = { f2: Uint16Array, f4: Float32Array, i1: Int8Array, i2: Int16Array };

/** @template {import("./types").ContainerHead} [Head=import("./types").ContainerHead] */
export class Container {
  /** @param {ArrayBuffer} buffer */
  constructor(buffer) {
    const length = new DataView(buffer).getUint32(0, true);
    /** @type {Head} */
    this.head = JSON.parse(new TextDecoder().decode(new Uint8Array(buffer, 4, length)));
    this.start = 4 + length;
    this.buffer = buffer;
  }

  /** @param {string} name @returns {import("./types").NamedArray} */
  get(name) {
    const found = this.head.arrays[name];
    if (!found) throw new Error(`${name} is missing`);
    const [kind, shape, offset] = found;
    const count = shape.reduce((all, one) => all * one, 1);
    const Kind = KINDS[kind];
    return { shape, values: new Kind(this.buffer, this.start + offset, count) };
  }
}
