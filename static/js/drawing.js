/**
 * A canvas that is drawn on demand and settles: the loop that single views and boards share. A kind of drawing brings
 * ``paint``.
 *
 * Events: "drawn" after each frame, "rest" when the picture has settled, "lost" when the graphics context is gone.
 */
import { WebGLRenderer } from "three";
import { Accumulator } from "./accumulator.js";

const MOST_PIXELS_PER_POINT = 2;
/** so long nothing moves before the picture starts to settle */
const PAUSE_MS = 200;

export class Drawing extends EventTarget {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {EventTarget} camera tells of every "change"
   * @param {boolean} upright whether the slats are
   */
  constructor(canvas, camera, upright) {
    super();
    this.canvas = canvas;
    this.renderer = new WebGLRenderer({
      canvas,
      antialias: false,
      alpha: true,
      powerPreference: "high-performance",
    });
    this.accumulator = new Accumulator(this.renderer, upright);
    this.waiting = 0;
    this.resting = 0;
    this.ready = false;
    this.listening = new AbortController();
    const { signal } = this.listening;
    canvas.addEventListener("webglcontextlost", (event) => this.#lost(event), { signal });
    camera.addEventListener("change", () => this.redraw(), { signal });
    this.sizes = new ResizeObserver(() => this.#resize());
    this.sizes.observe(canvas);
  }

  /** @type {import("./accumulator.js").Paint} */
  paint(_target, _at, _footprint) {
    throw new Error("a drawing brings its own paint");
  }

  /** Something changed: start over with the next frame. */
  redraw() {
    this.ready = true;
    clearTimeout(this.resting);
    this.accumulator.restart();
    this.#next();
  }

  #draw() {
    this.waiting = 0;
    if (this.canvas.clientWidth === 0) return;
    this.accumulator.frame((target, at, footprint) => this.paint(target, at, footprint));
    this.dispatchEvent(new Event("drawn"));
    if (this.accumulator.done) this.dispatchEvent(new Event("rest"));
    else if (this.accumulator.count > 0) this.#next();
    else this.resting = setTimeout(() => this.#next(), PAUSE_MS);
  }

  #next() {
    if (!this.waiting) this.waiting = requestAnimationFrame(() => this.#draw());
  }

  #resize() {
    const { clientWidth, clientHeight } = this.canvas;
    if (clientWidth === 0 || clientHeight === 0) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, MOST_PIXELS_PER_POINT));
    this.renderer.setSize(clientWidth, clientHeight, false);
    this.accumulator.resize(this.canvas.width, this.canvas.height);
    if (this.ready) this.redraw();
  }

  /** @param {Event} event */
  #lost(event) {
    event.preventDefault();
    this.#stop();
    this.dispatchEvent(new Event("lost"));
  }

  #stop() {
    clearTimeout(this.resting);
    cancelAnimationFrame(this.waiting);
  }

  dispose() {
    this.#stop();
    this.listening.abort();
    this.sizes.disconnect();
    this.accumulator.dispose();
    this.renderer.dispose();
  }
}
