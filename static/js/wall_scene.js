/**
 * The wall in its room as a scene: one mesh, the light of each lighting, one candidate's colours and figure at a time.
 * Whoever draws it chooses candidate and lighting before each picture.
 */
import {
  BufferAttribute,
  BufferGeometry,
  DataTexture,
  DoubleSide,
  FloatType,
  Group,
  HalfFloatType,
  Mesh,
  RGBAFormat,
  Scene,
  WebGLRenderTarget,
} from "three";
import { LINE_STEPS, LightShading } from "./shading_light.js";
import { spline } from "./shifts.js";
import { draw, held, pass, shader } from "./whole_picture.js";

const STEM_NUMBERS = 16;
const FRAME = ["stems", "growth", "knots", "footprint", "even", "wide", "focal", "coat", "coatBody", "gloss"];
const CORNERS = { position: 3, place: 3, facing: 4, slat: 2 };
const QUAD = [0, 1, 2, 0, 2, 3];
/** texels of what a coat mirrors over the plane of a wall's fronts */
const GLOSS = [128, 64];
const MOST_GLOSSES = 64;
const MATT = { surface: [0, 1, 0], body: Array(50).fill(1) };

export class WallScene {
  /**
   * @param {import("./types").OrbitData} orbit
   * @param {import("./container.js").Container} figure the wall, and every candidate's stems
   */
  constructor(orbit, figure) {
    this.orbit = orbit;
    /** of the frame: figure, coat, and place in the reconstruction filter; see the shaders */
    this.uniforms = held({
      ...Object.fromEntries(FRAME.map((name) => [name, null])),
      finest: orbit.layout.finest_m,
      upright: Number(orbit.layout.upright),
    });
    /** @type {Map<string, {target: WebGLRenderTarget, from: string}>} what coats mirror, and from where it is seen */
    this.glosses = new Map();
    this.stems = orbit.candidates.map(({ stems }, number) =>
      stems ? unpacked(stems) : stemsTexture(Float32Array.from(figure.get(String(number)).values)),
    );
    /** by lighting @type {Map<number, import("./types").Lit>} */
    this.lights = new Map();
    const corners = new BufferGeometry();
    for (const [name, width] of Object.entries(CORNERS))
      corners.setAttribute(name, new BufferAttribute(figure.get(name).values, width));
    const count = 1.5 * figure.get("slat").shape[0];
    corners.setIndex(Array.from({ length: count }, (_, k) => 4 * Math.floor(k / 6) + QUAD[k % 6]));
    this.mesh = whole(corners);
    this.things = whole(thingGrids(figure));
    this.scene = new Scene();
  }

  /**
   * The light of a lighting has come.
   *
   * @param {number} lighting
   * @param {import("./container.js").Container<import("./types").LightHead>} light
   */
  addLight(lighting, light) {
    const shading = new LightShading(light, this.orbit.fixed);
    const { glsl } = this.orbit;
    const defines = { LINE_STEPS, ...shading.head.defines };
    const uniforms = { ...shading.uniforms, ...this.uniforms };
    this.lights.set(lighting, {
      shading,
      material: shader(glsl.vertex, glsl.fragment, uniforms, { defines }),
      things: shader(glsl.thingVertex, glsl.thing, uniforms),
      gloss: pass(glsl, glsl.gloss, { eye: null, size: GLOSS }, uniforms, defines),
      lamps: new Group().add(...shading.head.lamps.map((lamp) => this.#lamp(lamp))),
    });
  }

  /** A lamp's face, as bright as it is. @param {import("./types").Lamp} lamp */
  #lamp({ corners, shine }) {
    const face = new BufferGeometry().setIndex(QUAD);
    face.setAttribute("position", new BufferAttribute(Float32Array.from(corners.flat()), 3));
    const { lamp, lampVertex } = this.orbit.glsl;
    const uniforms = { ...held({ shine }), even: this.uniforms.even };
    return new Mesh(face, shader(lampVertex, lamp, uniforms, { side: DoubleSide }));
  }

  /** @param {number} lighting */
  has(lighting) {
    return this.lights.has(lighting);
  }

  /** @param {import("./types").UniformValues} values */
  #set(values) {
    for (const [name, value] of Object.entries(values)) this.uniforms[name].value = value;
  }

  /**
   * What the next picture is a frame of; ``at`` and ``footprint`` as in ``Paint``.
   *
   * @param {number} width
   * @param {number} height pixels of the picture
   * @param {number} fov_deg vertical, above 0, below 180
   * @param {[number, number] | null} at
   * @param {number} footprint
   */
  frame(width, height, fov_deg, at, footprint) {
    const [x, y] = at ?? [0.5, 0.5];
    this.#set({
      even: [(2 * x - 1) / width, (2 * y - 1) / height],
      wide: [(2 * spline(x)) / width, (2 * spline(y)) / height],
      focal: height / 2 / Math.tan((fov_deg * Math.PI) / 360),
      footprint,
    });
  }

  /** Put on a candidate under a lighting whose light is there. @param {number} candidate @param {number} lighting */
  choose(candidate, lighting) {
    const light = this.lights.get(lighting);
    if (!light) throw new Error(`the light of ${lighting} has not come`);
    const chosen = this.orbit.candidates[candidate];
    light.shading.show(chosen);
    const { surface, body } = chosen.coat ?? MATT;
    this.#set({ stems: this.stems[candidate], ...chosen.figure, coat: surface, coatBody: body });
    this.mesh.material = light.material;
    this.things.material = light.things;
    this.scene.clear().add(this.mesh, this.things, light.lamps);
    this.chosen = chosen.coat && { name: `${lighting} ${chosen.key}`, gloss: light.gloss };
  }

  /**
   * What the chosen coat mirrors, seen from a place: a small table, made anew where the eye has moved.
   *
   * @param {import("three").WebGLRenderer} renderer
   * @param {import("three").Vector3} eye where the camera stands
   */
  mirror(renderer, eye) {
    if (!this.chosen) return;
    const { name, gloss } = this.chosen;
    let found = this.glosses.get(name);
    if (!found) {
      if (this.glosses.size >= MOST_GLOSSES) this.forget();
      const [width, height] = [GLOSS[0], GLOSS[1] * Number(gloss.defines?.WALLS)];
      const target = new WebGLRenderTarget(width, height, { type: HalfFloatType, depthBuffer: false });
      this.glosses.set(name, (found = { target, from: "" }));
    }
    const from = eye.toArray().join();
    if (found.from !== from) {
      found.from = from;
      gloss.uniforms.eye.value = eye;
      this.#set({ gloss: null });
      draw(renderer, gloss, found.target);
    }
    this.#set({ gloss: found.target.texture });
  }

  /** The tables' content is gone, or too many. */
  forget() {
    for (const { target } of this.glosses.values()) target.dispose();
    this.glosses.clear();
  }

  /** A finish that is tried on took a candidate's place. @param {number} place in the list */
  replace(place) {
    this.stems[place].dispose();
    this.stems[place] = unpacked(this.orbit.candidates[place].stems ?? "");
  }

  /** Solve the other candidates while nothing else is to be done, so that choosing one takes a single frame. */
  prepare() {
    const waiting = [...this.lights.values()].flatMap(({ shading }) =>
      this.orbit.candidates.map((candidate) => () => shading.prepare(candidate)),
    );
    const next = () => {
      waiting.shift()?.();
      if (waiting.length > 0) setTimeout(next);
    };
    setTimeout(next);
  }

  dispose() {
    this.forget();
    for (const { geometry } of [this.mesh, this.things]) geometry.dispose();
    for (const texture of this.stems) texture.dispose();
    for (const { shading, material, things, gloss } of this.lights.values())
      for (const each of [shading, material, things, gloss]) each.dispose();
  }
}

/** A mesh that is drawn wherever the camera stands. @param {BufferGeometry} geometry */
const whole = (geometry) => Object.assign(new Mesh(geometry), { frustumCulled: false });

/** The grids of the things in the room; empty where none stands there. @param {import("./container.js").Container} figure */
function thingGrids(figure) {
  const grids = new BufferGeometry();
  if (!figure.head.arrays.thing_faces) return grids;
  const cells = figure.get("thing_faces").values;
  const index = [];
  for (let face = 0, start = 0; face < cells.length; face += 2) {
    const [rows, columns] = [cells[face], cells[face + 1] + 1];
    for (let at = start; at < start + rows * columns; at += 1)
      if ((at - start) % columns < columns - 1)
        index.push(at, at + columns, at + columns + 1, at, at + columns + 1, at + 1);
    start += (rows + 1) * columns;
  }
  grids.setAttribute("position", new BufferAttribute(figure.get("thing_corners").values, 3));
  return grids.setIndex(index);
}

/** @param {string} text base64 of sixteen little-endian floats a slat */
const unpacked = (text) =>
  stemsTexture(new Float32Array(Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer));

/** Sixteen numbers a slat as four texels. @param {Float32Array<ArrayBuffer>} numbers */
function stemsTexture(numbers) {
  const [width, height] = [STEM_NUMBERS / 4, numbers.length / STEM_NUMBERS];
  return Object.assign(new DataTexture(numbers, width, height, RGBAFormat, FloatType), { needsUpdate: true });
}
