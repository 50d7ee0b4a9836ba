/**
 * The turning view of one candidate under one lighting, drawn on demand.
 *
 * Events: "drawn" after each frame, "rest" when the picture has settled, "lost" when the graphics context is gone.
 */
import { PerspectiveCamera } from "three";
import { Drawing } from "./drawing.js";

const NEAR_M = 0.02;
const FAR_M = 150;

/**
 * The camera of three.js as the orbit camera stands.
 *
 * @param {PerspectiveCamera} camera @param {import("./orbit_camera.js").OrbitCamera} from @param {number} aspect
 */
export function place(camera, from, aspect) {
  camera.aspect = aspect;
  camera.fov = from.verticalFov(aspect);
  camera.position.set(...from.position());
  camera.lookAt(...from.target);
  camera.updateProjectionMatrix();
}

export function newCamera() {
  return new PerspectiveCamera(50, 1, NEAR_M, FAR_M);
}

export class OrbitView extends Drawing {
  /**
   * @param {HTMLCanvasElement} canvas
   * @param {import("./wall_scene.js").WallScene} wall
   * @param {import("./orbit_camera.js").OrbitCamera} orbitCamera
   */
  constructor(canvas, wall, orbitCamera) {
    super(canvas, orbitCamera, wall.orbit.layout.upright);
    this.wall = wall;
    this.orbitCamera = orbitCamera;
    this.camera = newCamera();
  }

  /** @param {number} candidate @param {number} lighting one whose light is there */
  show(candidate, lighting) {
    this.wall.choose(candidate, lighting);
    this.redraw();
  }

  /** @type {import("./accumulator.js").Paint} */
  paint(target, at, footprint) {
    place(this.camera, this.orbitCamera, target.width / target.height);
    this.wall.frame(target.width, target.height, this.camera.fov, at, footprint);
    this.renderer.setRenderTarget(target);
    this.renderer.render(this.wall.scene, this.camera);
  }

  dispose() {
    super.dispose();
    this.wall.dispose();
  }
}
