/**
 * Draws a scene anti-aliased: one multisampled frame while it moves; at rest the mean of many frames, each shifted by
 * a part of a pixel, in linear light. The mean is shown from the moment it is better than the single frame.
 */
import {
  FloatType,
  HalfFloatType,
  Mesh,
  NearestFilter,
  OrthographicCamera,
  PlaneGeometry,
  RawShaderMaterial,
  Scene,
  GLSL3,
  WebGLRenderTarget,
} from "three";
import { shift } from "./shifts.js";

/**
 * Paints the scene into a target, shifted within a pixel (null: not at all); ``footprint`` is the part of a pixel that
 * the frame stands for.
 *
 * @typedef {(target: WebGLRenderTarget, shift: [number, number] | null, footprint: number) => void} Paint
 */

const MSAA = 4;
const SHOWN_FROM = 16;
/** the shifts cover the pixel, so a single one of them needs to cover only the space to its neighbours */
const SHARE_AT_REST = 0.25;
export const FRAMES_AT_REST = 64;
/** brings the middle of the shifts to the middle of the pixel */
const HALF_STEP = 0.5 / FRAMES_AT_REST;

const cover = /* glsl */ `
in vec3 position;
void main() { gl_Position = vec4(position.xy, 0.0, 1.0); }
`;
const meanOf = /* glsl */ `
precision highp float;
uniform sampler2D before;
uniform sampler2D frame;
uniform float share;
out vec4 pixel;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  pixel = mix(texelFetch(before, at, 0), texelFetch(frame, at, 0), share);
}
`;
// IEC 61966-2-1
const encode = /* glsl */ `
precision highp float;
uniform sampler2D frame;
out vec4 pixel;
void main() {
  vec4 mean = texelFetch(frame, ivec2(gl_FragCoord.xy), 0);
  vec3 linear = clamp(mean.rgb, 0.0, 1.0);
  vec3 curved = 1.055 * pow(max(linear, vec3(0.0031308)), vec3(1.0 / 2.4)) - 0.055;
  pixel = vec4(mix(12.92 * linear, curved, step(0.0031308, linear)), 1.0) * mean.a;
}
`;

/** @param {string} fragmentShader @param {Record<string, {value: any}>} uniforms */
function pass(fragmentShader, uniforms) {
  return new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: cover,
    fragmentShader,
    uniforms,
    depthTest: false,
    depthWrite: false,
  });
}

export class Accumulator {
  /** @param {import("three").WebGLRenderer} renderer */
  constructor(renderer) {
    this.renderer = renderer;
    this.count = 0;
    /** the single frame has been shown */
    this.begun = false;
    const single = { type: HalfFloatType, minFilter: NearestFilter, magFilter: NearestFilter };
    const bare = { type: FloatType, minFilter: NearestFilter, magFilter: NearestFilter, depthBuffer: false };
    this.moving = new WebGLRenderTarget(1, 1, { ...single, samples: MSAA });
    this.still = new WebGLRenderTarget(1, 1, single);
    this.means = [new WebGLRenderTarget(1, 1, bare), new WebGLRenderTarget(1, 1, bare)];
    this.mean = pass(meanOf, { before: { value: null }, frame: { value: null }, share: { value: 1 } });
    this.show = pass(encode, { frame: { value: null } });
    this.quad = new Mesh(new PlaneGeometry(2, 2), this.show);
    this.quad.frustumCulled = false;
    this.stage = new Scene().add(this.quad);
    this.flat = new OrthographicCamera();
  }

  /** @param {number} width @param {number} height pixels of the canvas */
  resize(width, height) {
    for (const target of [this.moving, this.still, ...this.means]) target.setSize(width, height);
    this.restart();
  }

  restart() {
    this.begun = false;
    this.count = 0;
  }

  get done() {
    return this.count >= FRAMES_AT_REST;
  }

  /** Draws and shows the next frame. @param {Paint} paint */
  frame(paint) {
    if (!this.begun) {
      this.begun = true;
      paint(this.moving, null, 1);
      this.#present(this.moving);
      return;
    }
    const n = this.count + 1;
    const [x, y] = shift(n - 1);
    paint(this.still, [x + HALF_STEP - 0.5, y + HALF_STEP - 0.5], SHARE_AT_REST);
    this.mean.uniforms.before.value = this.means[this.count % 2].texture;
    this.mean.uniforms.frame.value = this.still.texture;
    this.mean.uniforms.share.value = 1 / n;
    this.count = n;
    this.#cover(this.mean, this.means[n % 2]);
    if (n >= SHOWN_FROM) this.#present(this.means[n % 2]);
  }

  /** @param {WebGLRenderTarget} target */
  #present(target) {
    this.show.uniforms.frame.value = target.texture;
    this.#cover(this.show, null);
  }

  /** @param {RawShaderMaterial} material @param {WebGLRenderTarget | null} target */
  #cover(material, target) {
    this.quad.material = material;
    this.renderer.setRenderTarget(target);
    this.renderer.render(this.stage, this.flat);
  }

  dispose() {
    for (const each of [this.moving, this.still, ...this.means, this.mean, this.show, this.quad.geometry])
      each.dispose();
  }
}
