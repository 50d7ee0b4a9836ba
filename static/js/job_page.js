/** The job page: choices of finish, light and view drive the picture, the quantities and the rod. */
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { Picture } from "./picture.js";
import { Rod } from "./rod.js";

const bench = document.querySelector("[data-bench]");
const orbit = orbitData(document);

/** @param {string} name @returns {string} */
function chosen(name) {
  return /** @type {HTMLInputElement} */ (document.querySelector(`input[name="${name}"]:checked`)).value;
}

/** @param {import("./picture.js").Picture} picture */
function showChoice(picture) {
  const finish = chosen("finish");
  picture.show({ finish, lighting: chosen("lighting"), view: chosen("view") });
  for (const table of document.querySelectorAll("[data-quantities]")) {
    if (table instanceof HTMLElement) table.hidden = table.dataset.quantities !== finish;
  }
}

/** The line on the elevation that follows the rod. @param {number} at_mm */
function markElevation(at_mm) {
  for (const svg of document.querySelectorAll("[data-elevation] svg")) {
    if (!(svg instanceof SVGSVGElement)) continue;
    let line = svg.querySelector("[data-place]");
    if (!line) {
      line = document.createElementNS("http://www.w3.org/2000/svg", "path");
      line.setAttribute("data-place", "");
      line.setAttribute("stroke", "#262626");
      line.setAttribute("stroke-width", "0.7");
      svg.append(line);
    }
    const { left, floor, scale, across } = svg.dataset;
    const along = at_mm * Number(scale);
    line.setAttribute(
      "d",
      across === "y"
        ? `M${Number(left) - 3} ${Number(floor) - along}H${svg.viewBox.baseVal.width}`
        : `M${Number(left) + along} 0V${Number(floor) + 3}`,
    );
  }
}

function start() {
  const camera = new OrbitCamera(orbit.space);
  const picture = new Picture(/** @type {HTMLElement} */ (document.querySelector(".picture")), orbit, camera);
  bench?.addEventListener("change", (event) => {
    const input = event.target;
    if (input instanceof HTMLInputElement && input.type === "radio") showChoice(picture);
  });
  bench?.addEventListener("submit", (event) => event.preventDefault());
  const rod = new Rod(
    /** @type {HTMLElement} */ (document.querySelector("[data-rod]")),
    /** @type {HTMLElement} */ (document.querySelector("[data-rod-reading]")),
    JSON.parse(document.getElementById("rod-marks")?.textContent ?? "[]"),
  );
  rod.addEventListener("place", (event) => {
    const { at_mm } = /** @type {CustomEvent} */ (event).detail;
    markElevation(at_mm);
    picture.walkTo(at_mm / 1000);
  });
  showChoice(picture);
  picture.start();
}

start();
