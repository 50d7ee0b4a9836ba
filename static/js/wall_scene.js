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
  GLSL3,
  Group,
  HalfFloatType,
  Mesh,
  RGBAFormat,
  Scene,
  ShaderMaterial,
  WebGLRenderTarget,
} from "three";
import { LINE_STEPS, LightShading, MOST_HOLES } from "./shading_light.js";
import { spline } from "./shifts.js";
import { draw, pass } from "./whole_picture.js";

/** @typedef {import("./container.js").Container} Container */

const STEM_NUMBERS = 16;
const CORNERS = { position: 3, place: 3, facing: 4, slat: 2 };
const QUAD = [0, 1, 2, 0, 2, 3];
const MOST_LAMPS = 16;
/** texels of what the coat mirrors over the plane of the fronts */
const GLOSS = [128, 64];
const MOST_GLOSSES = 64;

// a lamp shines on its face and is black behind
const lampVertex = /* glsl */ `
uniform vec2 even;
void main() {
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
  gl_Position.xy += even * gl_Position.w;
}`;
const lampFragment = /* glsl */ `
uniform vec3 shine;
out vec4 pixel;
void main() { pixel = vec4(gl_FrontFacing ? shine : vec3(0.0), 1.0); }`;

export class WallScene {
  /** @param {import("./types").OrbitData} orbit @param {Container} figure the wall, and every candidate's stems */
  constructor(orbit, figure) {
    this.orbit = orbit;
    /** of the frame: figure, and its place in the reconstruction filter (see the shaders) */
    this.uniforms = {
      stems: { value: /** @type {DataTexture | null} */ (null) },
      growth: { value: [1, 0, 1, 1] },
      knots: { value: [0, 0, 0] },
      footprint: { value: 1 },
      even: { value: [0, 0] },
      wide: { value: [0, 0] },
      focal: { value: 1 },
      finest: { value: orbit.layout.finest_m },
      upright: { value: Number(orbit.layout.upright) },
      coat: { value: [0, 1, 0] },
      coatBody: { value: Array(50).fill(1) },
      gloss: { value: /** @type {import("three").Texture | null} */ (null) },
    };
    /** @type {Map<string, {target: WebGLRenderTarget, from: string}>} what each coat mirrors from where */
    this.glosses = new Map();
    this.stems = orbit.candidates.map(({ stems }, number) =>
      stems ? unpacked(stems) : stemsTexture(Float32Array.from(figure.get(String(number)).values)),
    );
    /** @type {Map<number, {shading: LightShading, material: ShaderMaterial, gloss: ShaderMaterial, lamps: Group}>} by lighting */
    this.lights = new Map();
    const corners = new BufferGeometry();
    for (const [name, width] of Object.entries(CORNERS)) {
      corners.setAttribute(name, new BufferAttribute(figure.get(name).values, width));
    }
    corners.setIndex(
      Array.from(
        { length: 1.5 * figure.get("slat").shape[0] },
        (_, k) => 4 * Math.floor(k / 6) + QUAD[k % 6],
      ),
    );
    this.mesh = new Mesh(corners);
    this.mesh.frustumCulled = false;
    this.scene = new Scene();
  }

  /** The light of a lighting has come. @param {number} lighting @param {Container} light */
  addLight(lighting, light) {
    const shading = new LightShading(light, this.orbit.fixed);
    /** @type {import("./types").LightHead} */
    const head = light.head;
    const { front, square, room, recess, edges } = head.charts;
    const roomFirst = front + square;
    const defines = {
      LINE_STEPS,
      MOST_HOLES,
      MOST_LAMPS,
      ROOM_FIRST: roomFirst,
      RECESS_FIRST: roomFirst + room,
      EDGES_FIRST: roomFirst + room + recess,
      CHARTS: roomFirst + room + recess + edges,
    };
    const lamps = head.lamps.slice(0, MOST_LAMPS);
    const numbers = (/** @type {number[]} */ values, /** @type {number} */ count) =>
      Float32Array.from({ length: 3 * count }, (_, k) => values[k] ?? 0);
    const gloss = pass(
      this.orbit.glsl.gloss,
      {
        ...shading.uniforms,
        coat: this.uniforms.coat,
        eye: { value: null },
        size: { value: GLOSS },
        farther: { value: head.box[2][1] },
        corners: {
          value: numbers(
            lamps.flatMap((lamp) => lamp.corners.flat()),
            4 * MOST_LAMPS,
          ),
        },
        shine: {
          value: numbers(
            lamps.flatMap((lamp) => lamp.shine),
            MOST_LAMPS,
          ),
        },
        lampCount: { value: lamps.length },
      },
      defines,
    );
    const material = new ShaderMaterial({
      glslVersion: GLSL3,
      defines,
      vertexShader: this.orbit.glsl.vertex,
      fragmentShader: this.orbit.glsl.fragment,
      uniforms: { ...shading.uniforms, ...this.uniforms },
    });
    this.lights.set(lighting, { shading, material, gloss, lamps: this.#lamps(head) });
  }

  /** The lamps' faces, as bright as they are. @param {import("./types").LightHead} head */
  #lamps({ lamps }) {
    const group = new Group();
    for (const { corners, shine } of lamps) {
      const face = new BufferGeometry().setIndex(QUAD);
      face.setAttribute("position", new BufferAttribute(Float32Array.from(corners.flat()), 3));
      const material = new ShaderMaterial({
        glslVersion: GLSL3,
        vertexShader: lampVertex,
        fragmentShader: lampFragment,
        uniforms: { shine: { value: shine }, even: this.uniforms.even },
        side: DoubleSide,
      });
      group.add(new Mesh(face, material));
    }
    return group;
  }

  /** @param {number} lighting */
  has(lighting) {
    return this.lights.has(lighting);
  }

  /**
   * What the next picture is a frame of: ``at`` as in ``Paint``.
   *
   * @param {number} width @param {number} height pixels @param {number} fov_deg
   * @param {[number, number] | null} at @param {number} footprint
   */
  frame(width, height, fov_deg, at, footprint) {
    const [x, y] = at ?? [0.5, 0.5];
    const { uniforms } = this;
    uniforms.even.value = [(2 * x - 1) / width, (2 * y - 1) / height];
    uniforms.wide.value = [(2 * spline(x)) / width, (2 * spline(y)) / height];
    uniforms.focal.value = height / 2 / Math.tan((fov_deg * Math.PI) / 360);
    uniforms.footprint.value = footprint;
  }

  /** Put on a candidate under a lighting whose light is there. @param {number} candidate @param {number} lighting */
  choose(candidate, lighting) {
    const light = this.lights.get(lighting);
    if (!light) throw new Error(`the light of ${lighting} has not come`);
    const chosen = this.orbit.candidates[candidate];
    light.shading.show(chosen);
    this.uniforms.stems.value = this.stems[candidate];
    this.uniforms.growth.value = chosen.figure.growth;
    this.uniforms.knots.value = chosen.figure.knots;
    this.uniforms.coat.value = chosen.coat?.surface ?? [0, 1, 0];
    this.uniforms.coatBody.value = chosen.coat?.body ?? this.uniforms.coatBody.value;
    this.mesh.material = light.material;
    this.chosen = { name: `${lighting} ${chosen.key}`, gloss: light.gloss };
    this.scene.clear().add(this.mesh, light.lamps);
  }

  /**
   * What the chosen coat mirrors, seen from a place: a small table, made anew where the eye has moved.
   *
   * @param {import("three").WebGLRenderer} renderer @param {import("three").Vector3} eye
   */
  mirror(renderer, eye) {
    if (!this.chosen || this.uniforms.coat.value[0] === 0) return;
    const { name, gloss } = this.chosen;
    let found = this.glosses.get(name);
    if (!found) {
      if (this.glosses.size >= MOST_GLOSSES) this.#forget();
      const [width, height] = GLOSS;
      const target = new WebGLRenderTarget(width, height, { type: HalfFloatType, depthBuffer: false });
      found = { target, from: "" };
      this.glosses.set(name, found);
    }
    this.uniforms.gloss.value = found.target.texture;
    const from = eye.toArray().join(" ");
    if (found.from === from) return;
    found.from = from;
    gloss.uniforms.eye.value = eye;
    draw(renderer, gloss, found.target);
  }

  #forget() {
    for (const { target } of this.glosses.values()) target.dispose();
    this.glosses.clear();
  }

  /** A finish that is tried on took a candidate's place. @param {number} place */
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
    this.#forget();
    this.mesh.geometry.dispose();
    for (const texture of this.stems) texture.dispose();
    for (const { shading, material, gloss } of this.lights.values()) {
      shading.dispose();
      material.dispose();
      gloss.dispose();
    }
  }
}

/** @param {string} text base64 of the numbers of stems */
function unpacked(text) {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  return stemsTexture(new Float32Array(bytes.buffer));
}

/** Sixteen numbers a slat as four texels. @param {Float32Array} numbers */
function stemsTexture(numbers) {
  const [width, height] = [STEM_NUMBERS / 4, numbers.length / STEM_NUMBERS];
  const texture = new DataTexture(numbers, width, height, RGBAFormat, FloatType);
  texture.needsUpdate = true;
  return texture;
}
