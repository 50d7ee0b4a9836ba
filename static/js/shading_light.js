/**
 * Shading from the server's transport: the tables of irradiance that its stills use; a finish is a solve of small
 * systems (transport.js) and a mix of the tables to colours. What turns here is what the stills show.
 */
import { UNSEEN } from "./glb_reader.js";
import { gapTexture, layersTexture, linesTexture, numbers, pairsTexture } from "./light_textures.js";
import { MOST_HOLES, shadeGlsl } from "./shade_glsl.js";
import { columnTristimulus, directionTristimulus } from "./transport.js";

const GROUPS = ["front", "square", "room", "recess", "edges"];
const MOST_KEPT = 24;
const ROOM = ["room_floor", "room_ceiling", "room_walls"];

/** The charts of a lighting, in the order that the shader counts them. @param {import("./container.js").Container} light */
export function chartsOf(light) {
  return GROUPS.flatMap((group) => {
    const normals = light.get(`${group}.normals`).values;
    return Array.from({ length: light.head.charts[group] }, (_, number) => ({
      group,
      name: `${group}.${number}`,
      normal: [...normals.subarray(3 * number, 3 * number + 3)],
    }));
  });
}

export class LightShading {
  /**
   * @param {import("./container.js").Container} light
   * @param {string[]} words surface words by id
   * @param {Set<string>} seen which surfaces face which way, "x y z surface"; see ``facings``
   */
  constructor(light, words, seen) {
    this.light = light;
    this.words = words;
    const { head } = light;
    this.systems = head.lamps.map((/** @type {unknown} */ _lamp, /** @type {number} */ number) => ({
      vectors: light.get(`answer.${number}`).shape[1],
      answer: light.get(`answer.${number}`).values,
      source: light.get(`source.${number}`).values,
    }));
    this.spd = rows(light.get("spd"));
    this.observer = rows(light.get("observer"));
    this.tables = this.#tables();
    this.charts = chartsOf(light);
    this.layers = this.#layers(seen);
    /** @type {Map<string, Record<string, any>>} textures of each candidate, last used last */
    this.solved = new Map();
    const of = (/** @type {string} */ name) => light.get(name).values;
    const grids = this.charts.flatMap(({ name }) => [of(`${name}.u`), of(`${name}.v`)]);
    const lines = linesTexture([...grids, of("across"), of("along"), of("side_nodes"), of("base_nodes")]);
    const flat = (/** @type {number[][]} */ ranges) => [
      ranges[0][0],
      ranges[1][0],
      ranges[0][1],
      ranges[1][1],
    ];
    const holes = head.holes.flat();
    /** @type {Record<string, {value: any}>} */
    this.uniforms = {
      lines: { value: lines.texture },
      lineRange: { value: lines.ranges },
      normals: { value: Float32Array.from(this.charts.flatMap(({ normal }) => normal)) },
      level: { value: head.level ? 1 : 0 },
      gaps: { value: [head.first_gap, head.gap, head.pitch, head.gaps] },
      planes: { value: [head.fabric_z, head.front_z] },
      nodes: { value: [light.get("sides.table").shape[2] / 2, light.get("base.table").shape[2]] },
      body: { value: flat(head.body) },
      box: { value: flat(head.box) },
      holes: { value: Float32Array.from({ length: 4 * MOST_HOLES }, (_, k) => holes[k] ?? 0) },
      holeCount: { value: head.holes.length },
      chartLayers: { value: null },
      chartTable: { value: null },
      sidesTable: { value: null },
      baseTable: { value: null },
    };
  }

  /** The shader's part that goes with it. */
  get glsl() {
    return shadeGlsl(this.light.head.charts);
  }

  #tables() {
    /** @type {Map<string, {shape: number[], table: Float32Array}>} */
    const found = new Map();
    for (const [name, { shape, values }] of this.light.arrays) {
      if (values instanceof Uint16Array) found.set(name, { shape, table: numbers(values) });
    }
    return found;
  }

  /** @param {string} name */
  #table(name) {
    return /** @type {{shape: number[], table: Float32Array}} */ (this.tables.get(`${name}.table`));
  }

  /** Which charts show which surfaces. @param {Set<string>} seen @returns {[number, number][]} chart and surface */
  #layers(seen) {
    const { level } = this.light.head;
    const firstRoom = this.words.indexOf(ROOM[0]);
    /** @type {[number, number][]} */
    const found = [];
    for (const facing of seen) {
      const [x, y, z, surface] = facing.split(" ").map(Number);
      const normal = level ? [y, x, z] : [x, y, z];
      this.charts.forEach((chart, number) => {
        const room = surface >= firstRoom && normal[2] <= 0.7;
        const alike =
          chart.normal[0] * normal[0] + chart.normal[1] * normal[1] + chart.normal[2] * normal[2] > 0.7;
        if (alike && (chart.group === "room") === room) found.push([number, surface]);
      });
    }
    return found;
  }

  /** Solve a finish before it is wanted. @param {import("./orbit_data.js").Candidate} candidate */
  prepare({ key, spectra }) {
    if (!this.solved.has(key) && this.solved.size < MOST_KEPT) this.solved.set(key, this.#solve(spectra));
  }

  /** Put on a finish; each is solved once while it is kept. @param {import("./orbit_data.js").Candidate} candidate */
  show({ key, spectra }) {
    const found = this.solved.get(key) ?? this.#solve(spectra);
    this.solved.delete(key);
    this.solved.set(key, found);
    for (const [name, value] of Object.entries(found)) this.uniforms[name].value = value;
    if (this.solved.size <= MOST_KEPT) return;
    const [oldest] = this.solved.keys();
    drop(this.solved.get(oldest));
    this.solved.delete(oldest);
  }

  /** @param {import("./orbit_data.js").Spectra} spectra @returns {Record<string, any>} */
  #solve(spectra) {
    const { light, words, observer } = this;
    const byClass = light.head.classes.map((/** @type {number} */ id) => spectra.reflectance[words[id]]);
    const columns = columnTristimulus(this.systems, byClass, this.spd, observer);
    const colour = (/** @type {string} */ group, /** @type {number[]} */ last) =>
      this.#display(directionTristimulus(light.get(`${group}.mix`).values, columns, last));
    const zones = (/** @type {string} */ word) =>
      ROOM.includes(word)
        ? [observer.map(() => light.head.room_reflectance[ROOM.indexOf(word)])]
        : (spectra.zones[word] ?? [spectra.reflectance[word]]);
    /** @type {{shape: number[], table: Float32Array, weights: Float32Array}[]} */
    const layers = [];
    const places = new Float32Array(2 * this.charts.length * words.length);
    for (const [chart, surface] of this.layers) {
      const { group, name } = this.charts[chart];
      const last = zones(words[surface]);
      places.set([layers.length, layers.length + last.length - 1], 2 * (chart * words.length + surface));
      for (const zone of last) layers.push({ ...this.#table(name), weights: colour(group, zone) });
    }
    const sides = this.#table("sides");
    const base = this.#table("base");
    const sideZones = zones("slat_side").map((zone) => colour("sides", zone));
    return {
      chartLayers: pairsTexture(places, words.length),
      chartTable: layersTexture(layers),
      sidesTable: gapTexture(sides.shape, sides.table, [sideZones[0], sideZones[1] ?? sideZones[0]]),
      baseTable: gapTexture(base.shape, base.table, [colour("base", spectra.reflectance.fabric)]),
    };
  }

  /** Tristimulus to the display's linear values: adapted to the lighting's white and exposed. @param {Float64Array} xyz */
  #display(xyz) {
    const matrix = this.light.head.display;
    const rgb = new Float32Array(xyz.length);
    for (let at = 0; at < xyz.length; at += 3) {
      for (let k = 0; k < 3; k += 1) {
        rgb[at + k] = matrix[k][0] * xyz[at] + matrix[k][1] * xyz[at + 1] + matrix[k][2] * xyz[at + 2];
      }
    }
    return rgb;
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

/** @param {import("./container.js").NamedArray} array @returns {number[][]} */
function rows({ shape: [count, width], values }) {
  return Array.from({ length: count }, (_, row) =>
    Array.from(values.subarray(row * width, (row + 1) * width)),
  );
}

/** Which surfaces face which way, as "x y z surface" with whole numbers. @param {import("./glb_reader.js").Wall} wall */
export function facings(wall) {
  /** @type {Set<string>} */
  const found = new Set();
  wall.surface.forEach((surface, corner) => {
    if (surface === UNSEEN) return;
    const normal = [...wall.normal.subarray(3 * corner, 3 * corner + 3)].map(Math.round);
    found.add(`${normal.join(" ")} ${surface}`);
  });
  return found;
}
