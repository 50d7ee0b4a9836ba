/** Directions by arrow key, to the right and down. @type {Map<string, [number, number]>} */
const ARROWS = new Map([
  ["ArrowLeft", [-1, 0]],
  ["ArrowRight", [1, 0]],
  ["ArrowUp", [0, -1]],
  ["ArrowDown", [0, 1]],
]);

/**
 * Things in a drawing that are moved by hand or by arrow keys, with Shift in larger steps.
 *
 * @param {SVGSVGElement} svg
 * @param {string} selector of what can be moved
 * @param {[number, number]} steps of an arrow key, without and with Shift, in the drawing's units
 * @param {(thing: Element, x: number, y: number) => void} move by so much to the right and down
 */
export function movable(svg, selector, steps, move) {
  /** @type {Element | null} */
  let held = null;
  let last = new DOMPoint();
  const thing = (/** @type {Event} */ { target }) => /** @type {Element} */ (target).closest(selector);
  const at = (/** @type {PointerEvent} */ { clientX, clientY }) =>
    new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM()?.inverse());
  svg.addEventListener("pointerdown", (event) => {
    held = thing(event);
    if (held) svg.setPointerCapture(event.pointerId);
    last = at(event);
  });
  svg.addEventListener("pointermove", (event) => {
    if (!held) return;
    const now = at(event);
    move(held, now.x - last.x, now.y - last.y);
    last = now;
  });
  for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, () => (held = null));
  svg.addEventListener("keydown", (event) => {
    const way = ARROWS.get(event.key);
    const found = thing(event);
    if (!way || !found) return;
    event.preventDefault();
    const step = steps[event.shiftKey ? 1 : 0];
    move(found, step * way[0], step * way[1]);
  });
}
