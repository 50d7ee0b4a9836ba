/**
 * Draws a scene anti-aliased: one multisampled frame while it moves; at rest the mean of many frames, each shifted by
 * a part of a pixel, in linear light. The mean is shown from the moment it is better than the single frame, whose
 * alpha says where fine slats are softened (1 not at all, 1/2 wholly), as the shifts soften the mean.
 */
import { FloatType, HalfFloatType, NearestFilter, WebGLRenderTarget } from "three";
import { shift } from "./shifts.js";
import { draw, pass } from "./whole_picture.js";

/**
 * Paints the scene into a target; ``at`` is the frame's place in the reconstruction filter, two numbers in (0, 1), or
 * null for its middle, ``footprint`` the part of a pixel that the frame stands for.
 *
 * @typedef {(target: WebGLRenderTarget, at: [number, number] | null, footprint: number) => void} Paint
 */

const MSAA = 4;
const SHOWN_FROM = 16;
/** the shifts cover the pixel, so a single one of them needs to cover only the space to its neighbours */
const SHARE_AT_REST = 0.25;
export const FRAMES_AT_REST = 64;
/** brings the middle of the shifts to the middle of the pixel */
const HALF_STEP = 0.5 / FRAMES_AT_REST;

const meanOf = /* glsl */ `
uniform sampler2D before;
uniform sampler2D frame;
uniform float share;
out vec4 pixel;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  pixel = mix(texelFetch(before, at, 0), texelFetch(frame, at, 0), share);
}`;
// curve: IEC 61966-2-1
const encode = /* glsl */ `
uniform sampler2D frame;
uniform ivec2 soft;
out vec4 pixel;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  ivec2 last = textureSize(frame, 0) - 1;
  vec4 beside = texelFetch(frame, max(at - soft, 0), 0) + texelFetch(frame, min(at + soft, last), 0);
  vec4 mean = texelFetch(frame, at, 0);
  mean = mix(mean, 0.5 * mean + 0.25 * beside, 2.0 - 2.0 * mean.a);
  vec3 linear = clamp(mean.rgb, 0.0, 1.0);
  vec3 curved = 1.055 * pow(max(linear, vec3(0.0031308)), vec3(1.0 / 2.4)) - 0.055;
  pixel = vec4(mix(12.92 * linear, curved, step(0.0031308, linear)), 1.0) * step(0.01, mean.a);
}`;

export class Accumulator {
  /** @param {import("three").WebGLRenderer} renderer @param {boolean} upright whether the slats are */
  constructor(renderer, upright) {
    this.renderer = renderer;
    this.softAxis = upright ? [1, 0] : [0, 1];
    this.count = 0;
    /** the single frame has been shown */
    this.begun = false;
    const near = { minFilter: NearestFilter, magFilter: NearestFilter };
    const target = (/** @type {import("three").RenderTargetOptions} */ how) =>
      new WebGLRenderTarget(1, 1, { ...near, ...how });
    this.moving = target({ type: HalfFloatType, samples: MSAA });
    this.still = target({ type: HalfFloatType });
    this.means = [0, 1].map(() => target({ type: FloatType, depthBuffer: false }));
    this.mean = pass(meanOf, { before: { value: null }, frame: { value: null }, share: { value: 1 } });
    this.show = pass(encode, { frame: { value: null }, soft: { value: [0, 0] } });
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
      this.#present(this.moving, this.softAxis);
      return;
    }
    const [x, y] = shift(this.count);
    paint(this.still, [x + HALF_STEP, y + HALF_STEP], SHARE_AT_REST);
    const { before, frame, share } = this.mean.uniforms;
    before.value = this.means[this.count % 2].texture;
    this.count += 1;
    frame.value = this.still.texture;
    share.value = 1 / this.count;
    const into = this.means[this.count % 2];
    draw(this.renderer, this.mean, into);
    if (this.count >= SHOWN_FROM) this.#present(into, [0, 0]);
  }

  /** @param {WebGLRenderTarget} target @param {number[]} soft step across the slats, where it is softened */
  #present(target, soft) {
    this.show.uniforms.frame.value = target.texture;
    this.show.uniforms.soft.value = soft;
    draw(this.renderer, this.show, null);
  }

  dispose() {
    for (const each of [this.moving, this.still, ...this.means, this.mean, this.show]) each.dispose();
  }
}
