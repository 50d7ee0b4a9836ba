/**
 * Shading from the server's transport: the tables of irradiance that its stills use. A finish is a solve of small
 * systems (transport.js); its tables, mixed to the colours that points send out, become textures, so that a pixel
 * reads them by one or two look-ups. What turns here is what the stills show.
 */
import {
  Data3DTexture,
  DataArrayTexture,
  DataTexture,
  DataUtils,
  FloatType,
  HalfFloatType,
  LinearFilter,
  RGBAFormat,
  RedFormat,
} from "three";
import { columnTristimulus, directionTristimulus } from "./transport.js";

/** @typedef {import("./types").Numbers} Numbers */
/** @typedef {{shape: number[], table: Float32Array}} Table */

/** places of the textures that find a grid's lines */
export const LINE_STEPS = 2048;
export const MOST_HOLES = 16;
const GROUPS = ["front", "square", "room", "recess", "edges"];
const GROOVES = ["across", "along", "side_nodes", "base_nodes"];
const SIDE = 1;
const FABRIC = 3;
const ZONES = 3;
const MOST_KEPT = 24;

const fromHalf = Float32Array.from({ length: 65536 }, (_, bits) => DataUtils.fromHalfFloat(bits));

export class LightShading {
  /**
   * @param {import("./container.js").Container} light
   * @param {Record<string, number[]>} fixed spectra of the paints that no finish changes
   */
  constructor(light, fixed) {
    this.light = light;
    this.fixed = fixed;
    /** @type {import("./types").LightHead} */
    this.head = light.head;
    const { head } = this;
    const of = (/** @type {string} */ name) => light.get(name).values;
    this.systems = head.lamps.map((_, number) => ({
      vectors: light.get(`answer.${number}`).shape[1],
      answer: of(`answer.${number}`),
      source: of(`source.${number}`),
    }));
    this.spd = rows(light.get("spd"));
    this.observer = rows(light.get("observer"));
    this.charts = GROUPS.flatMap((group) =>
      Array.from({ length: head.charts[group] }, (_, number) => ({ group, name: `${group}.${number}` })),
    );
    /** @type {Map<string, Table>} */
    this.tables = new Map();
    this.sides = this.#table("sides");
    this.base = this.#table("base");
    /** @type {Map<string, Record<string, any>>} textures of each candidate, last used last */
    this.solved = new Map();
    const lines = [
      ...this.charts.flatMap(({ name }) => [of(`${name}.u`), of(`${name}.v`)]),
      ...GROOVES.map(of),
    ];
    const corners = ([[a0, a1], [b0, b1]] = head.body) => [a0, b0, a1, b1];
    const holes = head.holes.flat();
    /** @type {Record<string, {value: any}>} */
    this.uniforms = Object.fromEntries(
      Object.entries({
        lines: linesTexture(lines),
        lineRange: Float32Array.from(lines.flatMap(range)),
        normals: Float32Array.from(of("normals")),
        level: Number(head.level),
        gaps: [head.first_gap, head.gap, head.pitch, head.gaps],
        planes: [head.fabric_z, head.front_z],
        nodes: [this.sides.shape[2] / 2, this.base.shape[2]],
        body: corners(),
        box: corners(head.box),
        holes: Float32Array.from({ length: 4 * MOST_HOLES }, (_, k) => holes[k] ?? 0),
        holeCount: head.holes.length,
        chartLayers: null,
        chartTable: null,
        sidesTable: null,
        baseTable: null,
      }).map(([name, value]) => [name, { value }]),
    );
  }

  /** A group's or chart's table as numbers, made once. @param {string} name @returns {Table} */
  #table(name) {
    let found = this.tables.get(name);
    if (!found) {
      const { shape, values } = this.light.get(`${name}.table`);
      found = { shape, table: Float32Array.from(values, (half) => fromHalf[half]) };
      this.tables.set(name, found);
    }
    return found;
  }

  /** Solve a finish before it is wanted. @param {import("./types").Candidate} candidate */
  prepare(candidate) {
    if (this.solved.size < MOST_KEPT && !this.solved.has(candidate.key))
      this.solved.set(candidate.key, this.#solve(candidate));
  }

  /** Put on a finish; each is solved once while it is kept. @param {import("./types").Candidate} candidate */
  show(candidate) {
    const { key } = candidate;
    const found = this.solved.get(key) ?? this.#solve(candidate);
    this.solved.delete(key);
    this.solved.set(key, found);
    for (const [name, value] of Object.entries(found)) this.uniforms[name].value = value;
    if (this.solved.size <= MOST_KEPT) return;
    const [oldest] = this.solved.keys();
    drop(this.solved.get(oldest));
    this.solved.delete(oldest);
  }

  /** @param {import("./types").Candidate} candidate @returns {Record<string, any>} */
  #solve({ zones, classes }) {
    const columns = columnTristimulus(this.systems, classes, this.spd, this.observer);
    const colour = (/** @type {string} */ group, /** @type {number[]} */ last) =>
      this.#display(directionTristimulus(this.light.get(`${group}.mix`).values, columns, last));
    const of = (/** @type {number} */ paint) => (paint in this.fixed ? [this.fixed[paint]] : zones[paint]);
    /** @type {(Table & {weights: Numbers})[]} */
    const layers = [];
    const width = 1 + Math.max(...this.head.layers.map(([, paint]) => paint));
    const places = new Float32Array(4 * width * this.charts.length);
    for (const [chart, paint] of this.head.layers) {
      const { group, name } = this.charts[chart];
      const last = of(paint);
      for (let zone = 0; zone < ZONES; zone += 1)
        places[4 * (chart * width + paint) + zone] = layers.length + Math.min(zone, last.length - 1);
      for (const one of last) layers.push({ ...this.#table(name), weights: colour(group, one) });
    }
    const sides = of(SIDE).map((zone) => colour("sides", zone));
    return {
      chartLayers: plain(new DataTexture(places, width, this.charts.length, RGBAFormat, FloatType)),
      chartTable: layersTexture(layers),
      sidesTable: gapTexture(
        this.sides,
        Array.from({ length: ZONES }, (_, zone) => sides[Math.min(zone, sides.length - 1)]),
      ),
      baseTable: gapTexture(this.base, [colour("base", zones[FABRIC][0])]),
    };
  }

  /** Tristimulus to the display's linear values: adapted to the lighting's white and exposed. @param {Numbers} xyz */
  #display(xyz) {
    return Float32Array.from(xyz, (_, at) => {
      const first = at - (at % 3);
      return this.head.display[at % 3].reduce((sum, factor, k) => sum + factor * xyz[first + k], 0);
    });
  }

  dispose() {
    this.uniforms.lines.value.dispose();
    for (const found of this.solved.values()) drop(found);
  }
}

/** @param {Record<string, any> | undefined} found */
function drop(found) {
  for (const texture of Object.values(found ?? {})) texture.dispose();
}

/** @param {import("./types").NamedArray} array @returns {number[][]} */
const rows = ({ shape: [count, width], values }) =>
  Array.from({ length: count }, (_, row) => Array.from(values.subarray(row * width, (row + 1) * width)));

/**
 * Mixes directions to colours.
 *
 * @param {Float32Array} table (n, r)
 * @param {Numbers} weights (r, 3) colour of each direction
 * @param {Uint16Array} into RGBA half floats
 * @param {(row: number) => number} place where a row goes
 */
function mixInto(table, weights, into, place) {
  const r = weights.length / 3;
  for (let row = 0; row < table.length / r; row += 1) {
    const at = 4 * place(row);
    for (let k = 0; k < 3; k += 1) {
      let sum = 0;
      for (let one = 0; one < r; one += 1) sum += table[row * r + one] * weights[3 * one + k];
      into[at + k] = DataUtils.toHalfFloat(Math.max(sum, 0));
    }
  }
}

/** @template {DataTexture | DataArrayTexture | Data3DTexture} T @param {T} texture @returns {T} */
function plain(texture) {
  texture.needsUpdate = true;
  return texture;
}

/** @template {DataArrayTexture | Data3DTexture} T @param {T} texture @returns {T} */
const smooth = (texture) =>
  plain(Object.assign(texture, { type: HalfFloatType, minFilter: LinearFilter, magFilter: LinearFilter }));

/** Plane charts (rows, columns, r) as layers, padded to the largest. @param {(Table & {weights: Numbers})[]} layers */
function layersTexture(layers) {
  const height = Math.max(...layers.map(({ shape }) => shape[0]));
  const width = Math.max(...layers.map(({ shape }) => shape[1]));
  const data = new Uint16Array(4 * width * height * layers.length);
  layers.forEach(({ shape: [, columns], table, weights }, layer) => {
    const into = data.subarray(4 * width * height * layer);
    mixInto(table, weights, into, (row) => Math.floor(row / columns) * width + (row % columns));
  });
  return smooth(new DataArrayTexture(data, width, height, layers.length));
}

/** A gap's table (across, along, nodes, r) as a volume: nodes, zone after zone, by along by across. @param {Table} gap @param {Numbers[]} zones */
function gapTexture({ shape: [across, along, nodes], table }, zones) {
  const width = nodes * zones.length;
  const data = new Uint16Array(4 * width * along * across);
  zones.forEach((weights, zone) => {
    mixInto(table, weights, data, (row) => Math.floor(row / nodes) * width + zone * nodes + (row % nodes));
  });
  return smooth(new Data3DTexture(data, width, along, across));
}

/** First and last of a grid's lines. @param {Numbers} lines */
function range(lines) {
  const [first, last] = [lines[0], lines[lines.length - 1]];
  return [first, last > first ? last : first + 1];
}

/** Fractional line of each of LINE_STEPS places from a grid's first to its last, a row each. @param {Numbers[]} all */
function linesTexture(all) {
  const data = new Float32Array(LINE_STEPS * all.length);
  all.forEach((lines, row) => {
    const last = lines.length - 1;
    const [first, end] = range(lines);
    for (let step = 0, lower = 0; last > 0 && step < LINE_STEPS; step += 1) {
      const at = first + ((end - first) * step) / (LINE_STEPS - 1);
      while (lower < last - 1 && lines[lower + 1] <= at) lower += 1;
      const line = lower + (at - lines[lower]) / (lines[lower + 1] - lines[lower]);
      data[row * LINE_STEPS + step] = Math.min(last, line);
    }
  });
  return plain(new DataTexture(data, LINE_STEPS, all.length, RedFormat, FloatType));
}
