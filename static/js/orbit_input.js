/**
 * Hands and keys for an orbit camera: drag, wheel with a modifier or when focused, pinch, arrows, + and −, buttons.
 * The page scrolls as ever unless the picture has the focus.
 */

const STEP_RAD = (4 * Math.PI) / 180;
const STEP_FACTOR = 1.12;
const DRAG_RAD_PER_PX = 0.006;

/** @type {Record<string, {turn?: number, tilt?: number, factor?: number}>} */
const MOVES = {
  left: { turn: -STEP_RAD },
  right: { turn: STEP_RAD },
  up: { tilt: STEP_RAD },
  down: { tilt: -STEP_RAD },
  nearer: { factor: 1 / STEP_FACTOR },
  farther: { factor: STEP_FACTOR },
};
/** @type {Record<string, string>} */
const KEYS = {
  ArrowLeft: "left",
  ArrowRight: "right",
  ArrowUp: "up",
  ArrowDown: "down",
  "+": "nearer",
  "=": "nearer",
  "-": "farther",
};

export class OrbitInput {
  /**
   * @param {HTMLElement} surface what is dragged, and holds the focus
   * @param {HTMLElement} buttons holds buttons with data-turn
   * @param {import("./orbit_camera.js").OrbitCamera} camera
   */
  constructor(surface, buttons, camera) {
    this.surface = surface;
    this.buttons = buttons;
    this.camera = camera;
    /** @type {Map<number, PointerEvent>} */
    this.pointers = new Map();
    this.listening = new AbortController();
    const { signal } = this.listening;
    surface.addEventListener("keydown", (event) => this.onKey(event), { signal });
    surface.addEventListener("pointerdown", (event) => this.onDown(event), { signal });
    surface.addEventListener("pointermove", (event) => this.onMove(event), { signal });
    for (const end of ["pointerup", "pointercancel"]) {
      surface.addEventListener(
        end,
        (event) => this.pointers.delete(/** @type {PointerEvent} */ (event).pointerId),
        {
          signal,
        },
      );
    }
    surface.addEventListener("wheel", (event) => this.onWheel(event), { signal, passive: false });
    buttons.addEventListener("click", (event) => this.onPress(event), { signal });
  }

  /** @param {KeyboardEvent} event */
  onKey(event) {
    const move = MOVES[KEYS[event.key]];
    if (!move || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    this.camera.move(move);
  }

  /** @param {MouseEvent} event */
  onPress(event) {
    const button = event.target instanceof Element ? event.target.closest("[data-turn]") : null;
    if (button instanceof HTMLElement) this.camera.move(MOVES[button.dataset.turn ?? ""] ?? {});
  }

  /** @param {PointerEvent} event */
  onDown(event) {
    this.pointers.set(event.pointerId, event);
    this.surface.setPointerCapture(event.pointerId);
  }

  /** @param {PointerEvent} event */
  onMove(event) {
    const before = this.pointers.get(event.pointerId);
    if (!before) return;
    const others = [...this.pointers.values()].filter((other) => other.pointerId !== event.pointerId);
    if (others.length === 0) {
      this.camera.move({
        turn: -(event.clientX - before.clientX) * DRAG_RAD_PER_PX,
        tilt: (event.clientY - before.clientY) * DRAG_RAD_PER_PX,
      });
    } else {
      const apart = (/** @type {PointerEvent} */ one) =>
        Math.hypot(one.clientX - others[0].clientX, one.clientY - others[0].clientY);
      this.camera.move({ factor: Math.max(apart(before), 1) / Math.max(apart(event), 1) });
    }
    this.pointers.set(event.pointerId, event);
  }

  /** @param {WheelEvent} event */
  onWheel(event) {
    if (document.activeElement !== this.surface && !event.ctrlKey) return;
    event.preventDefault();
    this.camera.move({ factor: Math.exp(Math.max(-100, Math.min(100, event.deltaY)) * 0.0015) });
  }

  dispose() {
    this.listening.abort();
  }
}
