/**
 * The turning view on a canvas, drawn on demand and settling: one candidate under one lighting, or a board of several,
 * one camera and one WebGL context for all, each in its part of a canvas that lies behind the page's cells.
 *
 * Events: "drawn" (a frame), "rest" (settled), "lost" (the graphics are gone), "back" (they can be drawn with again).
 */
import { PerspectiveCamera, Vector3, WebGLRenderer } from "three";
import { Accumulator } from "./accumulator.js";

const MOST_PIXELS_PER_POINT = 2;
/** so long nothing moves before the picture starts to settle */
const PAUSE_MS = 200;
const NEAR_M = 0.02;
const FAR_M = 150;

export class OrbitView extends EventTarget {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {import("./wall_scene.js").WallScene} wall
   * @param {import("./orbit_camera.js").OrbitCamera} stand
   * @param {import("./types").Cell[]} cells of a board; those whose light has come are drawn
   */
  constructor(canvas, wall, stand, cells = []) {
    super();
    this.canvas = canvas;
    this.wall = wall;
    this.stand = stand;
    this.cells = cells;
    this.camera = new PerspectiveCamera(50, 1, NEAR_M, FAR_M);
    this.renderer = new WebGLRenderer({
      canvas,
      antialias: false,
      alpha: true,
      powerPreference: "high-performance",
    });
    this.renderer.setClearColor(0x000000, 0);
    this.accumulator = new Accumulator(this.renderer, wall.orbit);
    this.waiting = 0;
    this.resting = 0;
    this.ready = false;
    this.listening = new AbortController();
    const { signal } = this.listening;
    canvas.addEventListener("webglcontextlost", () => this.#lost(), { signal });
    canvas.addEventListener("webglcontextrestored", () => this.#back(), { signal });
    stand.addEventListener("change", () => this.redraw(), { signal });
    this.sizes = new ResizeObserver(() => this.#resize());
    this.sizes.observe(canvas);
  }

  /** @param {number} candidate its place in the list @param {number} lighting one whose light is there */
  show(candidate, lighting) {
    this.cells = [{ element: this.canvas, candidate, lighting }];
    this.redraw();
  }

  /** Another wall stands here; the one before goes. @param {import("./wall_scene.js").WallScene} wall */
  replace(wall) {
    this.wall.dispose();
    this.wall = wall;
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
    this.accumulator.frame((target, at, footprint) => this.#paint(target, at, footprint));
    this.dispatchEvent(new Event("drawn"));
    if (this.accumulator.done) this.dispatchEvent(new Event("rest"));
    else if (this.accumulator.count > 0) this.#next();
    else this.resting = setTimeout(() => this.#next(), PAUSE_MS);
  }

  #next() {
    if (!this.waiting && !this.gone) this.waiting = requestAnimationFrame(() => this.#draw());
  }

  /** @type {import("./types").Paint} */
  #paint(target, at, footprint) {
    const { camera, renderer, stand, wall } = this;
    const whole = this.canvas.getBoundingClientRect();
    const pixels = target.width / whole.width;
    target.scissorTest = true;
    for (const { element, candidate, lighting } of this.cells) {
      if (!wall.has(lighting)) continue;
      const box = element.getBoundingClientRect();
      const [width, height] = [Math.round(box.width * pixels), Math.round(box.height * pixels)];
      const left = Math.round((box.left - whole.left) * pixels);
      const bottom = target.height - Math.round((box.top - whole.top) * pixels) - height;
      camera.aspect = width / height;
      camera.fov = stand.verticalFov(camera.aspect);
      camera.position.fromArray(stand.position());
      camera.lookAt(new Vector3(...stand.target));
      camera.updateProjectionMatrix();
      wall.choose(candidate, lighting);
      wall.mirror(renderer, camera.position);
      wall.frame(width, height, camera.fov, at, footprint);
      target.viewport.set(left, bottom, width, height);
      target.scissor.set(left, bottom, width, height);
      renderer.setRenderTarget(target);
      renderer.render(wall.scene, camera);
    }
    target.scissorTest = false;
    target.viewport.set(0, 0, target.width, target.height);
  }

  #resize() {
    const { clientWidth, clientHeight } = this.canvas;
    if (clientWidth === 0 || clientHeight === 0) return;
    this.renderer.setPixelRatio(Math.min(devicePixelRatio, MOST_PIXELS_PER_POINT));
    this.renderer.setSize(clientWidth, clientHeight, false);
    this.accumulator.resize(this.canvas.width, this.canvas.height);
    if (this.ready) this.redraw();
  }

  /** Nothing is drawn any more. @param {string} why event to tell */
  #pause(why) {
    this.gone = true;
    clearTimeout(this.resting);
    cancelAnimationFrame(this.waiting);
    this.waiting = 0;
    this.dispatchEvent(new Event(why));
  }

  #lost() {
    this.wall.forget();
    this.#pause("lost");
  }

  #back() {
    this.gone = false;
    this.dispatchEvent(new Event("back"));
    this.redraw();
  }

  dispose() {
    this.#pause("done");
    this.listening.abort();
    this.sizes.disconnect();
    this.accumulator.dispose();
    this.wall.dispose();
    this.renderer.dispose();
  }
}
