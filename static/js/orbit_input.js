/**
 * Hands and keys for an orbit camera: drag, wheel with a modifier or when focused, pinch, arrows, + and −, buttons.
 * The page scrolls as ever unless the picture has the focus.
 */
const STEP_RAD = (4 * Math.PI) / 180;
const STEP_FACTOR = 1.12;
const DRAG_RAD_PER_PX = 0.006;
const WHEEL = 0.0015;
const MOST_WHEEL_PX = 100;

/** @type {Map<string, import("./types").Move>} */
const MOVES = new Map(
  Object.entries({
    left: { turn: -STEP_RAD },
    right: { turn: STEP_RAD },
    up: { tilt: STEP_RAD },
    down: { tilt: -STEP_RAD },
    nearer: { factor: 1 / STEP_FACTOR },
    farther: { factor: STEP_FACTOR },
  }),
);
/** Names of moves by key. @type {Map<string, string>} */
const KEYS = new Map(
  Object.entries({
    ArrowLeft: "left",
    ArrowRight: "right",
    ArrowUp: "up",
    ArrowDown: "down",
    "+": "nearer",
    "=": "nearer",
    "-": "farther",
  }),
);

/**
 * @param {HTMLElement} surface what is dragged, and holds the focus
 * @param {HTMLElement} buttons holds buttons with data-turn
 * @param {import("./orbit_camera.js").OrbitCamera} camera
 */
export function listen(surface, buttons, camera) {
  /** @type {Map<number, PointerEvent>} */
  const pointers = new Map();
  /** Pixels between two pointers, at least 1. @param {PointerEvent} one @param {PointerEvent} other */
  const apart = (one, other) =>
    Math.max(Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY), 1);
  surface.addEventListener("keydown", (event) => {
    const move = MOVES.get(KEYS.get(event.key) ?? "");
    if (!move || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    camera.move(move);
  });
  surface.addEventListener("pointerdown", (event) => {
    pointers.set(event.pointerId, event);
    surface.setPointerCapture(event.pointerId);
  });
  surface.addEventListener("pointermove", (event) => {
    const before = pointers.get(event.pointerId);
    if (!before) return;
    const other = [...pointers.values()].find(({ pointerId }) => pointerId !== event.pointerId);
    if (other) camera.move({ factor: apart(before, other) / apart(event, other) });
    else
      camera.move({
        turn: (before.clientX - event.clientX) * DRAG_RAD_PER_PX,
        tilt: (event.clientY - before.clientY) * DRAG_RAD_PER_PX,
      });
    pointers.set(event.pointerId, event);
  });
  for (const end of ["pointerup", "pointercancel"])
    surface.addEventListener(/** @type {"pointerup"} */ (end), (event) => pointers.delete(event.pointerId));
  surface.addEventListener(
    "wheel",
    (event) => {
      if (document.activeElement !== surface && !event.ctrlKey) return;
      event.preventDefault();
      const px = Math.max(-MOST_WHEEL_PX, Math.min(MOST_WHEEL_PX, event.deltaY));
      camera.move({ factor: Math.exp(px * WHEEL) });
    },
    { passive: false },
  );
  buttons.onclick = ({ target }) => {
    const button = target instanceof Element ? target.closest("[data-turn]") : null;
    if (button instanceof HTMLElement) camera.move(MOVES.get(button.dataset.turn ?? "") ?? {});
  };
}
