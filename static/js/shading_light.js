/**
 * Shading from the server's transport: the tables of irradiance that its stills use, as textures; a finish is a solve
 * of small systems (transport.js) and a table of coefficients. What turns here is what the stills show.
 *
 * Groups of tables: fronts (the plane of the slats over the whole wall), square edges (four ways they can face), the
 * room's five other faces, the sides of the gaps, their base.
 */
import { DataTexture, FloatType, NearestFilter, RGBAFormat } from "three";
import { LINE_STEPS, grooveTable, linesTexture, tableTexture } from "./light_textures.js";
import { columnTristimulus, directionTristimulus } from "./transport.js";

const GROUPS = ["front", "square", "room", "sides", "base"];
const MOST = 32;
const ROOM_CHARTS = 5;
const LINE = { front: 0, room: 2, across: 12, along: 13, side: 14, base: 15 };

export const shadeGlsl = /* glsl */ `
#define LINE_STEPS ${LINE_STEPS}
uniform highp sampler2D lines;
uniform vec2 lineRange[16];
uniform highp sampler2DArray frontTable;
uniform highp sampler2DArray squareTable;
uniform highp sampler2DArray roomTable;
uniform highp sampler2DArray sidesTable;
uniform highp sampler2DArray baseTable;
uniform vec2 frontSize, squareSize, roomSize, sidesSize, baseSize;
uniform int frontTiles, squareTiles, roomTiles, sidesTiles, baseTiles;
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

void addTile(vec4 d, int tile, int row, inout vec3 early, inout vec3 late) {
  for (int c = 0; c < 4; c++) {
    early += d[c] * texelFetch(coefficients, ivec2(4 * tile + c, row), 0).rgb;
    late += d[c] * texelFetch(coefficients, ivec2(4 * tile + c, row + WORDS), 0).rgb;
  }
}

#define SUM_TILES(TABLE, TILES, SIZE, AT, FIRST, ROW, SHARE) \\
  for (int tile = 0; tile < TILES; tile++) \\
    addTile(SHARE * texture(TABLE, vec3((AT + 0.5) / SIZE, float(FIRST + tile))), tile, ROW, early, late);

void shade(vec3 world, vec3 worldNormal, int surface, out vec3 early, out vec3 late) {
  early = vec3(0.0);
  late = vec3(0.0);
  vec3 p = level > 0.5 ? world.yxz : world;
  vec3 n = level > 0.5 ? worldNormal.yxz : worldNormal;
  bool outwards = n.z > 0.7;
  bool isRoom = surface >= ROOM_FLOOR;
  if ((surface == SLAT_SIDE || (surface == FABRIC && outwards)) && gaps.w > 0.0) {
    float inner = p.x + (surface == SLAT_SIDE ? sign(n.x) * gaps.y / 4.0 : 0.0);
    float number = clamp(floor((inner - gaps.x) / gaps.z), 0.0, gaps.w - 1.0);
    float left = gaps.x + number * gaps.z;
    float offset = inner - left;
    if (offset > -1e-4 && offset < gaps.y + 1e-4) {
      float station = lineAt(${LINE.across}, left + gaps.y / 2.0);
      float along = lineAt(${LINE.along}, p.y);
      float low = floor(station);
      float part = station - low;
      float high = low + 1.0;
      if (surface == FABRIC) {
        float node = lineAt(${LINE.base}, offset);
        SUM_TILES(baseTable, baseTiles, baseSize, vec2(low * nodes.y + node, along), 0, 4 * 2 * WORDS + surface, (1.0 - part))
        if (part > 0.0) {
          SUM_TILES(baseTable, baseTiles, baseSize, vec2(high * nodes.y + node, along), 0, 4 * 2 * WORDS + surface, part)
        }
      } else {
        float node = lineAt(${LINE.side}, planes.y - p.z) + (n.x > 0.0 ? 0.0 : nodes.x);
        float count = 2.0 * nodes.x;
        SUM_TILES(sidesTable, sidesTiles, sidesSize, vec2(low * count + node, along), 0, 3 * 2 * WORDS + surface, (1.0 - part))
        if (part > 0.0) {
          SUM_TILES(sidesTable, sidesTiles, sidesSize, vec2(high * count + node, along), 0, 3 * 2 * WORDS + surface, part)
        }
      }
      return;
    }
  }
  if (outwards) {
    vec2 at = vec2(lineAt(${LINE.front + 1}, p.y), lineAt(${LINE.front}, p.x));
    SUM_TILES(frontTable, frontTiles, frontSize, at, 0, surface, 1.0)
  } else if (isRoom) {
    for (int chart = 0; chart < ${ROOM_CHARTS}; chart++) {
      vec3 faces = roomNormals[chart];
      if (dot(faces, n) < 0.7) continue;
      vec2 q = abs(faces.x) > 0.7 ? p.yz : abs(faces.y) > 0.7 ? p.xz : p.xy;
      vec2 at = vec2(lineAt(${LINE.room + 1} + 2 * chart, q.y), lineAt(${LINE.room} + 2 * chart, q.x));
      SUM_TILES(roomTable, roomTiles, roomSize, at, chart * roomTiles, 2 * 2 * WORDS + surface, 1.0)
      break;
    }
  } else {
    int chart = n.x > 0.7 ? 0 : n.x < -0.7 ? 1 : n.y > 0.7 ? 2 : 3;
    vec2 at = vec2(lineAt(${LINE.front + 1}, p.y), lineAt(${LINE.front}, p.x));
    SUM_TILES(squareTable, squareTiles, squareSize, at, chart * squareTiles, 2 * WORDS + surface, 1.0)
  }
}
`;

export class LightShading {
  /** @param {import("./container.js").Container} light @param {string[]} words surface words by id */
  constructor(light, words) {
    this.light = light;
    this.words = words;
    /** @type {Map<string, Float32Array>} tables of coefficients by candidate */
    this.solved = new Map();
    const { head } = light;
    this.systems = head.lamps.map((/** @type {unknown} */ _lamp, /** @type {number} */ number) => ({
      vectors: light.get(`answer.${number}`).shape[1],
      answer: light.get(`answer.${number}`).values,
      source: light.get(`source.${number}`).values,
    }));
    this.spd = rows(light.get("spd"));
    this.observer = rows(light.get("observer"));
    this.tables = this.#tables();
    const lines = this.#lines();
    this.coefficients = new DataTexture(
      new Float32Array(MOST * GROUPS.length * 2 * words.length * 4),
      MOST,
      GROUPS.length * 2 * words.length,
      RGBAFormat,
      FloatType,
    );
    this.coefficients.minFilter = this.coefficients.magFilter = NearestFilter;
    this.lines = lines.texture;
    const sided = light.get("sides.table").shape[2] / 2;
    /** @type {Record<string, {value: any}>} */
    this.uniforms = {
      coefficients: { value: this.coefficients },
      lines: { value: lines.texture },
      lineRange: { value: lines.ranges },
      roomNormals: { value: light.get("room.normals").values },
      level: { value: head.level ? 1 : 0 },
      gaps: { value: [head.first_gap, head.gap, head.pitch, head.gaps] },
      planes: { value: [head.fabric_z, head.front_z] },
      nodes: { value: [sided, light.get("base.table").shape[2]] },
    };
    for (const [name, { texture, size, tiles }] of Object.entries(this.tables)) {
      this.uniforms[`${name}Table`] = { value: texture };
      this.uniforms[`${name}Size`] = { value: size };
      this.uniforms[`${name}Tiles`] = { value: tiles };
    }
  }

  #tables() {
    const { light } = this;
    const charts = (/** @type {string} */ name, /** @type {number} */ count) =>
      tableTexture(Array.from({ length: count }, (_, number) => light.get(`${name}.${number}.table`)));
    return {
      front: charts("front", 1),
      square: charts("square", 4),
      room: charts("room", ROOM_CHARTS),
      sides: tableTexture([grooveTable(light.get("sides.table"))]),
      base: tableTexture([grooveTable(light.get("base.table"))]),
    };
  }

  #lines() {
    const { light } = this;
    const of = (/** @type {string} */ name) => light.get(name).values;
    const room = Array.from({ length: ROOM_CHARTS }, (_, number) => [
      of(`room.${number}.u`),
      of(`room.${number}.v`),
    ]);
    const across = of("across");
    return linesTexture([
      of("front.0.u"),
      of("front.0.v"),
      ...room.flat(),
      across,
      of("along"),
      of("side_nodes"),
      of("base_nodes"),
    ]);
  }

  /** Put on a finish; each is solved once. @param {import("./orbit_data.js").Candidate} candidate */
  show({ key, spectra }) {
    if (!this.solved.has(key)) this.solved.set(key, this.#solve(spectra));
    this.coefficients.image.data = /** @type {Float32Array} */ (this.solved.get(key));
    this.coefficients.needsUpdate = true;
  }

  /** Solve, mix, and fill a table of coefficients. @param {import("./orbit_data.js").Spectra} spectra */
  #solve(spectra) {
    const { light, words } = this;
    const [floor, ceiling, walls] = light.head.room_reflectance;
    /** @type {Record<string, number>} */
    const room = { room_floor: floor, room_ceiling: ceiling, room_walls: walls };
    const flat = (/** @type {number} */ value) => this.observer.map(() => value);
    const byClass = light.head.classes.map((/** @type {number} */ id) => spectra.reflectance[words[id]]);
    const columns = columnTristimulus(this.systems, byClass, this.spd, this.observer);
    const data = new Float32Array(MOST * GROUPS.length * 2 * words.length * 4);
    GROUPS.forEach((group, place) => {
      const mix = light.get(`${group}.mix`).values;
      words.forEach((word, surface) => {
        const zones =
          word in room ? [flat(room[word])] : (spectra.zones[word] ?? [spectra.reflectance[word]]);
        const seen = zones.map((last) => this.#display(directionTristimulus(mix, columns, last)));
        [0, 1].forEach((zone) => {
          const rgb = seen[zone] ?? seen[0];
          const row = (place * 2 + zone) * words.length + surface;
          for (let k = 0; k < rgb.length / 3; k += 1) {
            data.set(rgb.subarray(3 * k, 3 * k + 3), (row * MOST + k) * 4);
          }
        });
      });
    });
    return data;
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
    this.coefficients.dispose();
    this.lines.dispose();
    for (const { texture } of Object.values(this.tables)) texture.dispose();
  }
}

/** @param {import("./container.js").NamedArray} array @returns {number[][]} */
function rows({ shape: [count, width], values }) {
  return Array.from({ length: count }, (_, row) =>
    Array.from(values.subarray(row * width, (row + 1) * width)),
  );
}
