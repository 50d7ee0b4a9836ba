/** Lamps in plan and section: dragged or moved by arrow keys; the numbers beside them say the same. */
const STEP_MM = 10;
const LARGE_MM = 100;
/** @type {Record<string, [number, number]>} to the right and down on the drawing */
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

/** @param {Element} lamp @param {number} axis */
const field = (lamp, axis) =>
  /** @type {HTMLInputElement} */ (
    document.getElementsByName(`${lamp.getAttribute("data-lamp")}[${axis}]`)[0]
  );

/** @param {Element} lamp @returns {[number, number][]} axis and sign of the drawing's two directions */
function directions(lamp) {
  const { axes, signs } = /** @type {SVGSVGElement} */ (lamp.closest("svg")).dataset;
  const turn = (signs ?? "").split(" ").map(Number);
  return (axes ?? "").split(" ").map((axis, place) => [Number(axis), turn[place]]);
}

/** Put every lamp where its numbers say. */
function draw() {
  for (const lamp of document.querySelectorAll("[data-lamp]")) {
    const places = directions(lamp).map(([axis, sign]) => sign * parseFloat(field(lamp, axis).value));
    if (places.every(Number.isFinite)) lamp.setAttribute("transform", `translate(${places.join(" ")})`);
  }
}

/** @param {Element} lamp @param {number[]} by mm to the right and down on the drawing */
function move(lamp, by) {
  directions(lamp).forEach(([axis, sign], place) => {
    const box = field(lamp, axis);
    if (by[place]) box.value = String(Math.round(parseFloat(box.value) + sign * by[place]));
  });
  draw();
}

for (const svg of document.querySelectorAll("[data-axes]")) {
  if (!(svg instanceof SVGSVGElement)) continue;
  /** @type {Element | null} */
  let held = null;
  const at = (/** @type {PointerEvent} */ { clientX, clientY }) =>
    new DOMPoint(clientX, clientY).matrixTransform(svg.getScreenCTM()?.inverse());
  let last = new DOMPoint();
  svg.addEventListener("pointerdown", (event) => {
    held = event.target instanceof Element ? event.target.closest("[data-lamp]") : null;
    if (held) svg.setPointerCapture(event.pointerId);
    last = at(event);
  });
  svg.addEventListener("pointermove", (event) => {
    if (!held) return;
    const now = at(event);
    const by = [Math.round(now.x - last.x), Math.round(now.y - last.y)];
    last = new DOMPoint(last.x + by[0], last.y + by[1]);
    move(held, by);
  });
  for (const end of ["pointerup", "pointercancel"]) svg.addEventListener(end, () => (held = null));
  svg.addEventListener("keydown", (event) => {
    const way = KEYS[event.key];
    const lamp = event.target instanceof Element ? event.target.closest("[data-lamp]") : null;
    if (!way || !lamp) return;
    event.preventDefault();
    move(
      lamp,
      way.map((part) => part * (event.shiftKey ? LARGE_MM : STEP_MM)),
    );
  });
}
document.addEventListener("input", draw);
