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
import { held } from "./whole_picture.js";

/** places of the texture that finds a grid's lines */
export const LINE_STEPS = 2048;
const ACROSS = ["across", "along", "side_nodes", "base_nodes", "gap_left"];
const SIDE = 1;
const FABRIC = 3;
const ZONES = [0, 1, 2];
const MOST_KEPT = 24;
/** crossings of things' grids in a row of their texture */
const WIDE = 1024;

const fromHalf = Float32Array.from({ length: 65536 }, (_, bits) => DataUtils.fromHalfFloat(bits));

export class LightShading {
  /**
   * @param {import("./container.js").Container<import("./types").LightHead>} light
   * @param {import("./types").OrbitData["fixed"]} fixed spectra of the paints that no finish changes
   */
  constructor(light, fixed) {
    this.light = light;
    this.fixed = fixed;
    this.head = light.head;
    const of = (/** @type {string} */ name) => light.get(name).values;
    this.systems = this.head.lamps.map((_, number) => ({
      vectors: light.get(`answer.${number}`).shape[1],
      answer: of(`answer.${number}`),
      source: of(`source.${number}`),
    }));
    /** by group or chart @type {Record<string, import("./types").Table>} */
    this.tables = {};
    /** by key of a candidate, last used last @type {Map<string, import("./types").FinishTextures>} */
    this.solved = new Map();
    this.walls = Array.from({ length: this.head.defines.WALLS }, (_, wall) => (wall ? `${wall}:` : ""));
    const charts = this.head.charts.flatMap((name) => [of(`${name}.u`), of(`${name}.v`)]);
    const gaps = this.walls.flatMap((wall) => ACROSS.map((name) => of(wall + name)));
    const edges = this.walls.map((wall) => of(`${wall}gap_left`));
    this.lineTexture = linesTexture([...charts, ...gaps], edges);
    this.uniforms = held({
      ...this.head.uniforms,
      facing: of("facing"),
      lines: this.lineTexture,
      spans: charts.flatMap(range),
      gapSpans: gaps.flatMap(range),
      stations: of("stations"),
      chartLayers: null,
      chartTable: null,
      sidesTable: null,
      baseTable: null,
      thingsTable: null,
    });
  }

  /** A table's half floats as numbers, made once. @param {string} name of a group or chart */
  #table(name) {
    const { shape, values } = this.light.get(`${name}.table`);
    return (this.tables[name] ??= { shape, table: Float32Array.from(values, (half) => fromHalf[half]) });
  }

  /** Solve a finish before it is wanted. @param {import("./types").Candidate} candidate */
  prepare(candidate) {
    const { key } = candidate;
    if (this.solved.size < MOST_KEPT && !this.solved.has(key)) this.solved.set(key, this.#solve(candidate));
  }

  /** Put on a finish; each is solved once while it is kept. @param {import("./types").Candidate} candidate */
  show(candidate) {
    const { key } = candidate;
    const found = this.solved.get(key) ?? this.#solve(candidate);
    this.solved.delete(key);
    this.solved.set(key, found);
    for (const [name, texture] of Object.entries(found)) this.uniforms[name].value = texture;
    if (this.solved.size <= MOST_KEPT) return;
    const [oldest] = this.solved.keys();
    drop(this.solved.get(oldest));
    this.solved.delete(oldest);
  }

  /** @param {import("./types").Candidate} candidate @returns {import("./types").FinishTextures} */
  #solve({ zones, classes }) {
    const { charts, display, layers: shown } = this.head;
    const columns = columnTristimulus(
      this.systems,
      classes,
      rows(this.light.get("spd")),
      rows(this.light.get("observer")),
    );
    /**
     * Linear display values (r, 3) of each direction on a surface.
     *
     * @param {string} group
     * @param {number[]} last spectrum of the surface
     */
    const colour = (group, last) => {
      const xyz = directionTristimulus(this.light.get(`${group}.mix`).values, columns, last);
      return xyz.map((_, at) =>
        display[at % 3].reduce((sum, factor, k) => sum + factor * xyz[at - (at % 3) + k], 0),
      );
    };
    const of = (/** @type {number} */ paint) => (paint in this.fixed ? [this.fixed[paint]] : zones[paint]);
    /** @type {import("./types").Layer[]} */
    const layers = [];
    const width = 1 + Math.max(...shown.map(([, paint]) => paint));
    const places = new Float32Array(4 * width * charts.length);
    for (const [chart, paint] of shown) {
      const last = of(paint);
      for (const zone of ZONES)
        places[4 * (chart * width + paint) + zone] = layers.length + Math.min(zone, last.length - 1);
      const [group] = charts[chart].split(".");
      for (const one of last) layers.push({ ...this.#table(charts[chart]), weights: colour(group, one) });
    }
    const side = of(SIDE);
    /** @param {string} name @param {number[][]} spectra of its zones */
    const volume = (name, spectra) =>
      gapTexture(
        this.walls.map((wall) => ({
          ...this.#table(wall + name),
          zones: spectra.map((zone) => colour(wall + name, zone)),
        })),
      );
    /** @type {import("./types").FinishTextures} */
    const found = {
      chartLayers: made(new DataTexture(places, width, charts.length, RGBAFormat, FloatType)),
      chartTable: layersTexture(layers),
      sidesTable: volume(
        "sides",
        ZONES.map((zone) => side[Math.min(zone, side.length - 1)]),
      ),
      baseTable: volume("base", [zones[FABRIC][0]]),
    };
    if (this.head.arrays["things.table"]) {
      const { shape, table } = this.#table("things");
      const weights = colour("things", Array(41).fill(1)); // their grey is in the table
      found.thingsTable = layersTexture([{ shape: [Math.ceil(shape[0] / WIDE), WIDE], table, weights }]);
    }
    return found;
  }

  dispose() {
    this.lineTexture.dispose();
    this.solved.forEach(drop);
  }
}

/** @param {import("./types").FinishTextures | undefined} found */
function drop(found) {
  for (const texture of Object.values(found ?? {})) texture.dispose();
}

/** @param {import("./types").NamedArray} array (n, m) @returns {number[][]} */
const rows = ({ shape, values }) =>
  Array.from({ length: shape[0] }, (_, row) => [...values.subarray(row * shape[1], (row + 1) * shape[1])]);

/**
 * Mixes the directions of a table by their colours.
 *
 * @param {Float32Array} table (n, r)
 * @param {Float64Array} weights (r, 3) colour of each direction
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

/** @template {import("three").Texture} T @param {T} texture */
const made = (texture) => Object.assign(texture, { needsUpdate: true });
/** @template {import("three").Texture} T @param {T} texture */
const smooth = (texture) =>
  made(Object.assign(texture, { type: HalfFloatType, minFilter: LinearFilter, magFilter: LinearFilter }));

/** Plane charts as layers, padded to the largest. @param {import("./types").Layer[]} layers */
function layersTexture(layers) {
  const [height, width] = [0, 1].map((axis) => Math.max(...layers.map(({ shape }) => shape[axis])));
  const data = new Uint16Array(4 * width * height * layers.length);
  layers.forEach(({ shape: [, columns], table, weights }, layer) => {
    const into = data.subarray(4 * width * height * layer);
    mixInto(table, weights, into, (row) => Math.floor(row / columns) * width + (row % columns));
  });
  return smooth(new DataArrayTexture(data, width, height, layers.length));
}

/**
 * The walls' gaps as a volume: nodes, zone after zone, by along by across, wall after wall, padded to the largest.
 *
 * @param {import("./types").Gaps[]} walls
 */
function gapTexture(walls) {
  const width = Math.max(...walls.map(({ shape, zones }) => shape[2] * zones.length));
  const height = Math.max(...walls.map(({ shape }) => shape[1]));
  const data = new Uint16Array(4 * width * height * walls.reduce((sum, { shape }) => sum + shape[0], 0));
  let start = 0;
  for (const { shape, table, zones } of walls) {
    const [across, along, nodes] = shape;
    const into = data.subarray(4 * width * height * start);
    zones.forEach((weights, zone) => {
      mixInto(table, weights, into, (row) => {
        const line = Math.floor(row / nodes);
        return (Math.floor(line / along) * height + (line % along)) * width + zone * nodes + (row % nodes);
      });
    });
    start += across;
  }
  return smooth(new Data3DTexture(data, width, height, start));
}

/** First and last of a grid's lines. @param {import("./types").Numbers} lines rising @returns {[number, number]} */
function range(lines) {
  const [first, last] = [lines[0] ?? 0, lines[lines.length - 1] ?? 0];
  return [first, last > first ? last : first + 1];
}

/**
 * Fractional line of each of LINE_STEPS places from a grid's first to its last, a row each; then rows as they are.
 *
 * @param {import("./types").Values[]} grids lines of each, rising
 * @param {import("./types").Values[]} plain
 */
function linesTexture(grids, plain) {
  const data = new Float32Array(LINE_STEPS * (grids.length + plain.length));
  grids.forEach((lines, row) => {
    const last = lines.length - 1;
    const [first, end] = range(lines);
    for (let step = 0, lower = 0; last > 0 && step < LINE_STEPS; step += 1) {
      const at = first + ((end - first) * step) / (LINE_STEPS - 1);
      while (lower < last - 1 && lines[lower + 1] <= at) lower += 1;
      const line = lower + (at - lines[lower]) / (lines[lower + 1] - lines[lower]);
      data[row * LINE_STEPS + step] = Math.min(last, line);
    }
  });
  plain.forEach((row, number) => data.set(row.subarray(0, LINE_STEPS), LINE_STEPS * (grids.length + number)));
  return made(new DataTexture(data, LINE_STEPS, grids.length + plain.length, RedFormat, FloatType));
}
