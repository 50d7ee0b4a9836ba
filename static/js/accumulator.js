/**
 * Draws a scene anti-aliased: one multisampled frame while it moves; at rest the mean of many, each shifted by a part
 * of a pixel, in linear light, shown from the moment it is better than the single one.
 */
import { FloatType, HalfFloatType, NearestFilter, WebGLRenderTarget } from "three";
import { shift } from "./shifts.js";
import { draw, pass } from "./whole_picture.js";

const MSAA = 4;
const SHOWN_FROM = 16;
/** a single shift covers the space to its neighbours */
const SHARE_AT_REST = 0.25;
export const FRAMES_AT_REST = 64;
/** brings the middle of the shifts to the middle of the pixel */
const HALF_STEP = 0.5 / FRAMES_AT_REST;

export class Accumulator {
  /** @param {import("three").WebGLRenderer} renderer @param {import("./types").OrbitData} orbit */
  constructor(renderer, { glsl, layout }) {
    this.renderer = renderer;
    this.softAxis = layout.upright ? [1, 0] : [0, 1];
    this.count = 0;
    /** the single frame has been shown */
    this.begun = false;
    const near = { minFilter: NearestFilter, magFilter: NearestFilter };
    const target = (/** @type {import("three").RenderTargetOptions} */ how) =>
      new WebGLRenderTarget(1, 1, { ...near, ...how });
    this.moving = target({ type: HalfFloatType, samples: MSAA });
    this.still = target({ type: HalfFloatType });
    this.means = [0, 1].map(() => target({ type: FloatType, depthBuffer: false }));
    this.mean = pass(glsl, glsl.mean, { before: null, frame: null, share: 1 });
    this.show = pass(glsl, glsl.show, { frame: null, soft: [0, 0] });
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

  /** Draws and shows the next frame. @param {import("./types").Paint} paint */
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
