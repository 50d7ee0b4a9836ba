/**
 * Shading from the server's transport: the tables of irradiance that its stills use; a finish is a solve of small
 * systems (transport.js) and a mix of the tables to colours. What turns here is what the stills show.
 *
 * Tables: fronts (the plane of the slats over the whole wall), square edges (four ways they can face), the room's five
 * other faces, the sides of the gaps, their base.
 */
import { UNSEEN } from "./glb_reader.js";
import { LINE_STEPS, gapTexture, layersTexture, linesTexture, numbers } from "./light_textures.js";
import { columnTristimulus, directionTristimulus } from "./transport.js";

const ROOM_CHARTS = 5;
const PLANE_CHARTS = 5;
const MOST_KEPT = 24;
const LINE = { front: 0, room: 2, across: 12, along: 13, side: 14, base: 15 };
const ROOM = ["room_floor", "room_ceiling", "room_walls"];

export const shadeGlsl = /* glsl */ `
#define LINE_STEPS ${LINE_STEPS}
uniform highp sampler2D lines;
uniform vec2 lineRange[16];
uniform highp sampler2DArray planeTable;
uniform highp sampler2DArray roomTable;
uniform highp sampler3D sidesTable;
uniform highp sampler3D baseTable;
uniform vec2 planeLayer[${PLANE_CHARTS} * WORDS]; // by chart and surface: layers of early and late wood
uniform vec3 roomNormals[${ROOM_CHARTS}];
uniform float level;
uniform vec4 gaps;     // first gap's left edge, gap, pitch, count
uniform vec2 planes;   // z of the fabric, z of the fronts
uniform vec2 nodes;    // of one side, of the base

float lineAt(int row, float at) {
  vec2 range = lineRange[row];
  float t = clamp((at - range.x) / (range.y - range.x), 0.0, 1.0) * float(LINE_STEPS - 1);
  int i = min(int(t), LINE_STEPS - 2);
  float low = texelFetch(lines, ivec2(i, row), 0).r;
  return mix(low, texelFetch(lines, ivec2(i + 1, row), 0).r, t - float(i));
}

vec3 gapLight(sampler3D table, vec3 at) {
  return texture(table, (at + 0.5) / vec3(textureSize(table, 0))).rgb;
}

vec3 planeLight(sampler2DArray table, vec2 at, float layer) {
  return texture(table, vec3((at + 0.5) / vec2(textureSize(table, 0).xy), layer)).rgb;
}

void shade(vec3 world, vec3 worldNormal, int surface, out vec3 early, out vec3 late) {
  vec3 p = level > 0.5 ? world.yxz : world;
  vec3 n = level > 0.5 ? worldNormal.yxz : worldNormal;
  bool outwards = n.z > 0.7;
  if ((surface == SLAT_SIDE || (surface == FABRIC && outwards)) && gaps.w > 0.0) {
    float inner = p.x + (surface == SLAT_SIDE ? sign(n.x) * gaps.y / 4.0 : 0.0);
    float number = clamp(floor((inner - gaps.x) / gaps.z), 0.0, gaps.w - 1.0);
    float left = gaps.x + number * gaps.z;
    float offset = inner - left;
    if (offset > -1e-4 && offset < gaps.y + 1e-4) {
      vec3 at = vec3(0.0, lineAt(${LINE.along}, p.y), lineAt(${LINE.across}, left + gaps.y / 2.0));
      if (surface == FABRIC) {
        at.x = lineAt(${LINE.base}, offset);
        early = late = gapLight(baseTable, at);
      } else {
        at.x = lineAt(${LINE.side}, planes.y - p.z) + (n.x > 0.0 ? 0.0 : nodes.x);
        early = gapLight(sidesTable, at);
        at.x += 2.0 * nodes.x;
        late = gapLight(sidesTable, at);
      }
      return;
    }
  }
  if (surface >= ROOM_FLOOR && !outwards) {
    for (int chart = 0; chart < ${ROOM_CHARTS}; chart++) {
      vec3 faces = roomNormals[chart];
      if (dot(faces, n) < 0.7) continue;
      vec2 q = abs(faces.x) > 0.7 ? p.yz : abs(faces.y) > 0.7 ? p.xz : p.xy;
      vec2 at = vec2(lineAt(${LINE.room + 1} + 2 * chart, q.y), lineAt(${LINE.room} + 2 * chart, q.x));
      early = late = planeLight(roomTable, at, float(chart));
      return;
    }
  }
  int chart = outwards ? 0 : n.x > 0.7 ? 1 : n.x < -0.7 ? 2 : n.y > 0.7 ? 3 : 4;
  vec2 layers = planeLayer[chart * WORDS + surface];
  vec2 at = vec2(lineAt(${LINE.front + 1}, p.y), lineAt(${LINE.front}, p.x));
  early = planeLight(planeTable, at, layers.x);
  late = layers.y == layers.x ? early : planeLight(planeTable, at, layers.y);
}
`;

/** @typedef {import("three").DataArrayTexture | import("three").Data3DTexture} Table */

export class LightShading {
  /**
   * @param {import("./container.js").Container} light
   * @param {string[]} words surface words by id
   * @param {Set<string>} facing which plane charts show which surfaces, "chart surface"; see ``facings``
   */
  constructor(light, words, facing) {
    this.light = light;
    this.words = words;
    this.facing = [...facing].map((pair) => pair.split(" ").map(Number));
    const { head } = light;
    this.systems = head.lamps.map((/** @type {unknown} */ _lamp, /** @type {number} */ number) => ({
      vectors: light.get(`answer.${number}`).shape[1],
      answer: light.get(`answer.${number}`).values,
      source: light.get(`source.${number}`).values,
    }));
    this.spd = rows(light.get("spd"));
    this.observer = rows(light.get("observer"));
    this.tables = this.#tables();
    /** @type {Map<string, Record<string, {value: any}>>} uniforms of each candidate, last used last */
    this.solved = new Map();
    const of = (/** @type {string} */ name) => light.get(name).values;
    const room = Array.from({ length: ROOM_CHARTS }, (_, k) => [of(`room.${k}.u`), of(`room.${k}.v`)]);
    const front = [of("front.0.u"), of("front.0.v")];
    const gap = [of("across"), of("along"), of("side_nodes"), of("base_nodes")];
    const lines = linesTexture([...front, ...room.flat(), ...gap]);
    this.lines = lines.texture;
    /** @type {Record<string, {value: any}>} */
    this.uniforms = {
      lines: { value: lines.texture },
      lineRange: { value: lines.ranges },
      roomNormals: { value: of("room.normals") },
      level: { value: head.level ? 1 : 0 },
      gaps: { value: [head.first_gap, head.gap, head.pitch, head.gaps] },
      planes: { value: [head.fabric_z, head.front_z] },
      nodes: { value: [light.get("sides.table").shape[2] / 2, light.get("base.table").shape[2]] },
      planeTable: { value: null },
      planeLayer: { value: new Float32Array(2 * PLANE_CHARTS * words.length) },
      roomTable: { value: null },
      sidesTable: { value: null },
      baseTable: { value: null },
    };
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

  /** Solve a finish before it is wanted. @param {import("./orbit_data.js").Candidate} candidate */
  prepare({ key, spectra }) {
    if (!this.solved.has(key) && this.solved.size < MOST_KEPT) this.solved.set(key, this.#solve(spectra));
  }

  /** Put on a finish; each is solved once while it is kept. @param {import("./orbit_data.js").Candidate} candidate */
  show({ key, spectra }) {
    const found = this.solved.get(key) ?? this.#solve(spectra);
    this.solved.delete(key);
    this.solved.set(key, found);
    Object.entries(found).forEach(([name, { value }]) => (this.uniforms[name].value = value));
    const [oldest] = this.solved.keys();
    if (this.solved.size > MOST_KEPT) {
      drop(this.solved.get(oldest));
      this.solved.delete(oldest);
    }
  }

  /** @param {import("./orbit_data.js").Spectra} spectra @returns {Record<string, {value: any}>} */
  #solve(spectra) {
    const { light, words, observer } = this;
    const byClass = light.head.classes.map((/** @type {number} */ id) => spectra.reflectance[words[id]]);
    const columns = columnTristimulus(this.systems, byClass, this.spd, observer);
    const colour = (/** @type {string} */ group, /** @type {number[]} */ last) =>
      this.#display(directionTristimulus(light.get(`${group}.mix`).values, columns, last));
    const grey = (/** @type {string} */ word) =>
      observer.map(() => light.head.room_reflectance[ROOM.indexOf(word)]);
    const zones = (/** @type {string} */ word) =>
      ROOM.includes(word) ? [grey(word)] : (spectra.zones[word] ?? [spectra.reflectance[word]]);
    /** @type {{shape: number[], table: Float32Array, weights: Float32Array}[]} */
    const layers = [];
    const planeLayer = new Float32Array(2 * PLANE_CHARTS * words.length);
    for (const [chart, surface] of this.facing) {
      const [group, table] = chart === 0 ? ["front", "front.0"] : ["square", `square.${chart - 1}`];
      const last = zones(words[surface]);
      planeLayer[2 * (chart * words.length + surface)] = layers.length;
      planeLayer[2 * (chart * words.length + surface) + 1] = layers.length + last.length - 1;
      for (const zone of last) layers.push({ ...this.#table(table), weights: colour(group, zone) });
    }
    const room = Array.from({ length: ROOM_CHARTS }, (_, chart) => {
      const upright = light.get("room.normals").values[3 * chart + (light.head.level ? 0 : 1)];
      const word = upright > 0.7 ? "room_floor" : upright < -0.7 ? "room_ceiling" : "room_walls";
      return { ...this.#table(`room.${chart}`), weights: colour("room", grey(word)) };
    });
    const sides = this.#table("sides");
    const base = this.#table("base");
    const sideZones = zones("slat_side").map((zone) => colour("sides", zone));
    return {
      planeTable: { value: layersTexture(layers) },
      planeLayer: { value: planeLayer },
      roomTable: { value: layersTexture(room) },
      sidesTable: {
        value: gapTexture(sides.shape, sides.table, [sideZones[0], sideZones[1] ?? sideZones[0]]),
      },
      baseTable: { value: gapTexture(base.shape, base.table, [colour("base", spectra.reflectance.fabric)]) },
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
    this.lines.dispose();
    for (const found of this.solved.values()) drop(found);
  }
}

/** @param {Record<string, {value: any}> | undefined} found */
function drop(found) {
  for (const { value } of Object.values(found ?? {})) value.dispose?.();
}

/** @param {import("./container.js").NamedArray} array @returns {number[][]} */
function rows({ shape: [count, width], values }) {
  return Array.from({ length: count }, (_, row) =>
    Array.from(values.subarray(row * width, (row + 1) * width)),
  );
}

/**
 * Which plane charts show which surfaces: 0 for faces out of the wall, 1 to 4 for those that stand square to it.
 *
 * @param {import("./glb_reader.js").Wall} wall
 * @param {boolean} upright
 * @param {number} firstRoom id of the first surface of the room, whose other faces have charts of their own
 */
export function facings(wall, upright, firstRoom) {
  /** @type {Set<string>} */
  const found = new Set();
  wall.surface.forEach((surface, corner) => {
    const [x, y, z] = wall.normal.subarray(3 * corner, 3 * corner + 3);
    const [across, along] = upright ? [x, y] : [y, x];
    if (surface === UNSEEN || (surface >= firstRoom && z <= 0.7)) return;
    if (z > 0.7) found.add(`0 ${surface}`);
    else if (z > -0.7) found.add(`${across > 0.7 ? 1 : across < -0.7 ? 2 : along > 0.7 ? 3 : 4} ${surface}`);
  });
  return found;
}
