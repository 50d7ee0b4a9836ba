/** The job page: choices of finish, light and view drive the picture, the quantities and the rod. */
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { Picture, chosen } from "./picture.js";
import { Rod } from "./rod.js";

const find = (/** @type {string} */ what) => /** @type {HTMLElement} */ (document.querySelector(what));
const bench = find("[data-bench]");
const orbit = orbitData(document);
const picture = new Picture(find(".picture"), orbit, new OrbitCamera(orbit.space));

function show() {
  const choice = chosen(document);
  picture.show(choice);
  for (const table of document.querySelectorAll("[data-quantities]"))
    if (table instanceof HTMLElement) table.hidden = table.dataset.quantities !== choice.finish;
}

/** The line on the elevation that follows the rod. @param {number} at_mm from the left end of the wall */
function markElevation(at_mm) {
  for (const svg of document.querySelectorAll("[data-elevation] svg")) {
    if (!(svg instanceof SVGSVGElement)) continue;
    let line = svg.querySelector("[data-place]");
    if (!line) {
      line = document.createElementNS("http://www.w3.org/2000/svg", "path");
      for (const [name, value] of [
        ["data-place", ""],
        ["stroke", "#262626"],
        ["stroke-width", "0.7"],
      ])
        line.setAttribute(name, value);
      svg.append(line);
    }
    const [left, floor, scale] = ["left", "floor", "scale"].map((name) => Number(svg.dataset[name]));
    const along = at_mm * scale;
    const level = `M${left - 3} ${floor - along}H${svg.viewBox.baseVal.width}`;
    line.setAttribute("d", svg.dataset.across === "y" ? level : `M${left + along} 0V${floor + 3}`);
  }
}

bench.addEventListener("change", ({ target }) => {
  if (target instanceof HTMLInputElement && target.form === bench && target.name) show();
});
bench.addEventListener("submit", (event) => {
  // only another wall is asked for: the rest is shown already
  if (!event.submitter) event.preventDefault();
});
/** @type {import("./types").Mark[]} */
const marks = JSON.parse(find("#rod-marks").textContent ?? "[]");
new Rod(find("[data-rod]"), find("[data-rod-reading]"), marks).addEventListener("place", (event) => {
  const { at_mm } = /** @type {CustomEvent<{at_mm: number}>} */ (event).detail;
  markElevation(at_mm);
  if ("walked" in bench.dataset) picture.walkTo(at_mm / 1000);
});
show();
picture.start();
