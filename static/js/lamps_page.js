/** Lamps in plan and section: what moves in the drawing moves in the numbers, and the other way round. */
import { movable } from "./movable.js";

/**
 * Number and sign of the drawing's two directions.
 *
 * @param {Element} lamp
 * @returns {{box: HTMLInputElement, sign: number}[]} signs are 1 or -1
 */
function boxes(lamp) {
  const { axes, signs } = /** @type {SVGSVGElement} */ (lamp.closest("svg")).dataset;
  return (axes ?? "").split(" ").map((axis, place) => ({
    box: /** @type {HTMLInputElement} */ (
      document.getElementsByName(`${lamp.getAttribute("data-lamp")}[${axis}]`)[0]
    ),
    sign: Number((signs ?? "").split(" ")[place]),
  }));
}

function draw() {
  for (const lamp of document.querySelectorAll("[data-lamp]")) {
    const places = boxes(lamp).map(({ box, sign }) => sign * parseFloat(box.value));
    if (places.every(Number.isFinite)) lamp.setAttribute("transform", `translate(${places.join(" ")})`);
  }
}

for (const svg of document.querySelectorAll("[data-axes]")) {
  movable(/** @type {SVGSVGElement} */ (svg), "[data-lamp]", [10, 100], (lamp, ...by) => {
    boxes(lamp).forEach(({ box, sign }, place) => {
      if (by[place]) box.value = (parseFloat(box.value) + sign * by[place]).toFixed(0);
    });
    draw();
  });
}
document.addEventListener("input", draw);
