/**
 * A camera that turns about a point of the wall and never leaves the room. Plain numbers, no renderer.
 * World: metres, x right, y up, z out of the wall into the room.
 *
 * @typedef {[number, number, number]} Point
 * @typedef {object} View
 * @property {Point} position
 * @property {Point} target
 * @property {number} vertical_fov_deg
 * @property {number} aspect width over height for which the view was made
 */

const MOST_TURN = (80 * Math.PI) / 180;
const MOST_TILT = (60 * Math.PI) / 180;
const NEAREST_M = 0.25;
const WIDEST_DEG = 75;

export class OrbitCamera extends EventTarget {
  /** @param {{min: Point, max: Point}} space where the camera may stand */
  constructor(space) {
    super();
    this.space = space;
    /** @type {Point} */
    this.target = [0, 0, 0];
    this.turn = 0;
    this.tilt = 0;
    this.distance = 1;
    this.fov_deg = 50;
    this.aspect = 1;
  }

  /** @param {View} view */
  look(view) {
    const [dx, dy, dz] = view.position.map((value, axis) => value - view.target[axis]);
    this.target = [...view.target];
    this.distance = Math.hypot(dx, dy, dz);
    this.turn = Math.atan2(dx, dz);
    this.tilt = Math.asin(dy / this.distance);
    this.fov_deg = view.vertical_fov_deg;
    this.aspect = view.aspect;
    this.changed();
  }

  /** Turn by angles [rad] and change the distance by a factor. */
  move({ turn = 0, tilt = 0, factor = 1 }) {
    this.turn = clamp(this.turn + turn, -MOST_TURN, MOST_TURN);
    this.tilt = clamp(this.tilt + tilt, -MOST_TILT, MOST_TILT);
    // where the room is shallower than the wish, a step starts from where the camera really stands
    if (factor !== 1) {
      const away = Math.min(this.distance, this.farthest());
      this.distance = clamp(away * factor, NEAREST_M, this.farthest());
    }
    this.changed();
  }

  /** Walk along the wall, keeping distance and direction. @param {number} x_m */
  walkTo(x_m) {
    this.target[0] = x_m;
    this.changed();
  }

  changed() {
    this.dispatchEvent(new Event("change"));
  }

  /** Direction from the target to the camera. @returns {Point} */
  direction() {
    const level = Math.cos(this.tilt);
    return [level * Math.sin(this.turn), Math.sin(this.tilt), level * Math.cos(this.turn)];
  }

  /** How far the room lets the camera go in its direction. */
  farthest() {
    const direction = this.direction();
    let most = Infinity;
    direction.forEach((part, axis) => {
      if (Math.abs(part) < 1e-9) return;
      const wall = part > 0 ? this.space.max[axis] : this.space.min[axis];
      most = Math.min(most, (wall - this.target[axis]) / part);
    });
    return Math.max(NEAREST_M, most);
  }

  /** @returns {Point} */
  position() {
    const away = Math.min(this.distance, this.farthest());
    const direction = this.direction();
    return /** @type {Point} */ (this.target.map((value, axis) => value + away * direction[axis]));
  }

  /** Vertical angle for a canvas: a narrower one widens upwards so that the width of the view stays in sight. */
  verticalFov(/** @type {number} */ aspect) {
    if (aspect >= this.aspect) return this.fov_deg;
    const half = Math.tan((this.fov_deg * Math.PI) / 360) * (this.aspect / aspect);
    return Math.min(WIDEST_DEG, (Math.atan(half) * 360) / Math.PI);
  }
}

/** @param {number} value @param {number} low @param {number} high */
function clamp(value, low, high) {
  return Math.min(high, Math.max(low, value));
}
