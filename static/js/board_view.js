/**
 * A board: several candidates under several lightings side by side, one camera for all, one WebGL context. Each cell
 * is a part of one canvas that lies behind the page's cells.
 */
import { Drawing } from "./drawing.js";
import { newCamera, place } from "./orbit_view.js";

/** @typedef {{element: HTMLElement, candidate: number, lighting: number}} Cell */

export class BoardView extends Drawing {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {import("./wall_scene.js").WallScene} wall
   * @param {import("./orbit_camera.js").OrbitCamera} orbitCamera
   * @param {Cell[]} cells
   */
  constructor(canvas, wall, orbitCamera, cells) {
    super(canvas, orbitCamera, wall.orbit.layout.upright);
    this.wall = wall;
    this.orbitCamera = orbitCamera;
    this.cells = cells;
    this.camera = newCamera();
    this.renderer.setClearColor(0x000000, 0);
  }

  /** @type {import("./accumulator.js").Paint} */
  paint(target, at, footprint) {
    const whole = this.canvas.getBoundingClientRect();
    const pixels = target.width / whole.width;
    target.scissorTest = true;
    for (const { element, candidate, lighting } of this.cells) {
      if (!this.wall.has(lighting)) continue;
      const box = element.getBoundingClientRect();
      const [width, height] = [Math.round(box.width * pixels), Math.round(box.height * pixels)];
      const left = Math.round((box.left - whole.left) * pixels);
      const bottom = target.height - Math.round((box.top - whole.top) * pixels) - height;
      this.wall.choose(candidate, lighting);
      place(this.camera, this.orbitCamera, width / height);
      this.wall.frame(width, height, this.camera.fov, at, footprint);
      target.viewport.set(left, bottom, width, height);
      target.scissor.set(left, bottom, width, height);
      this.renderer.setRenderTarget(target);
      this.renderer.render(this.wall.scene, this.camera);
    }
    target.scissorTest = false;
    target.viewport.set(0, 0, target.width, target.height);
  }

  dispose() {
    super.dispose();
    this.wall.dispose();
  }
}
