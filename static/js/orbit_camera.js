/**
 * A camera that turns about a point of the wall and never leaves the room. Plain numbers, no renderer.
 * World: metres, x right, y up, z out of the wall into the room. Event: "change".
 */
const MOST_TURN = (80 * Math.PI) / 180;
const MOST_TILT = (60 * Math.PI) / 180;
const NEAREST_M = 0.25;
const WIDEST_DEG = 75;

/** @param {number} value @param {number} low @param {number} high */
const clamp = (value, low, high) => Math.min(high, Math.max(low, value));

export class OrbitCamera extends EventTarget {
  /** @param {import("./types").OrbitData["space"]} space where the camera may stand */
  constructor(space) {
    super();
    this.space = space;
    /** @type {import("./types").Point} */
    this.target = [0, 0, 0];
    this.facing = 0;
    this.turn = 0;
    this.tilt = 0;
    this.distance = 1;
    this.fov_deg = 50;
    this.aspect = 1;
  }

  #changed() {
    this.dispatchEvent(new Event("change"));
  }

  /** @param {import("./types").View} view */
  look({ position, target, vertical_fov_deg, aspect, facing = 0 }) {
    const [dx, dy, dz] = position.map((value, axis) => value - target[axis]);
    this.target = [...target];
    this.distance = Math.hypot(dx, dy, dz);
    const aside = Math.atan2(dx, dz) - facing;
    this.facing = facing;
    this.turn = facing + Math.atan2(Math.sin(aside), Math.cos(aside));
    this.tilt = Math.asin(dy / this.distance);
    this.fov_deg = vertical_fov_deg;
    this.aspect = aspect;
    this.#changed();
  }

  /** @param {import("./types").Move} move */
  move({ turn = 0, tilt = 0, factor = 1 }) {
    this.turn = clamp(this.turn + turn, this.facing - MOST_TURN, this.facing + MOST_TURN);
    this.tilt = clamp(this.tilt + tilt, -MOST_TILT, MOST_TILT);
    // where the room is shallower than the wish, a step starts from where the camera really stands
    if (factor !== 1) {
      const farthest = this.#farthest();
      this.distance = clamp(Math.min(this.distance, farthest) * factor, NEAREST_M, farthest);
    }
    this.#changed();
  }

  /** Walk along the first wall, keeping distance and direction. @param {number} x_m from its left end */
  walkTo(x_m) {
    if (this.facing) return;
    this.target[0] = x_m;
    this.#changed();
  }

  /** From the target to the camera, length 1. @returns {import("./types").Point} */
  #direction() {
    const level = Math.cos(this.tilt);
    return [level * Math.sin(this.turn), Math.sin(this.tilt), level * Math.cos(this.turn)];
  }

  /** How far the room lets the camera go in its direction [m]. */
  #farthest() {
    const reach = this.#direction().map((part, axis) => {
      const wall = part > 0 ? this.space.max[axis] : this.space.min[axis];
      return Math.abs(part) < 1e-9 ? Infinity : (wall - this.target[axis]) / part;
    });
    return Math.max(NEAREST_M, Math.min(...reach));
  }

  /** @returns {import("./types").Point} */
  position() {
    const away = Math.min(this.distance, this.#farthest());
    const [x, y, z] = this.#direction().map((part, axis) => this.target[axis] + away * part);
    return [x, y, z];
  }

  /**
   * Vertical angle for a canvas, at most WIDEST_DEG where it widens: a narrower canvas widens upwards so that the width
   * of the view stays in sight.
   *
   * @param {number} aspect width over height, above 0
   * @returns {number} degrees
   */
  verticalFov(aspect) {
    if (aspect >= this.aspect) return this.fov_deg;
    const half = Math.tan((this.fov_deg * Math.PI) / 360) * (this.aspect / aspect);
    return Math.min(WIDEST_DEG, (Math.atan(half) * 360) / Math.PI);
  }
}
