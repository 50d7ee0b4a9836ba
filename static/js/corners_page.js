/** Corners on a photograph: each outline is four corners that stand as shares of the picture in a field. */
import { movable } from "./movable.js";

const svg = /** @type {SVGSVGElement} */ (document.querySelector("[data-corners]"));
const { width, height } = svg.viewBox.baseVal;
/** @param {Element} outline @returns {HTMLInputElement} holds its corners as text, "x,y" four times */
const field = (outline) => {
  const box = document.getElementById(outline.getAttribute("data-outline") ?? "");
  return /** @type {HTMLInputElement} */ (box);
};
/** @param {Element} outline @returns {number[][]} x and y of its corners, shares of the picture from 0 to 1 */
const corners = (outline) =>
  field(outline)
    .value.trim()
    .split(/\s+/)
    .map((pair) => pair.split(",").map(Number));

function draw() {
  for (const outline of svg.querySelectorAll("[data-outline]")) {
    const points = corners(outline).map(([x, y]) => [x * width, y * height]);
    if (points.length !== 4 || !points.flat().every(Number.isFinite)) continue;
    outline.querySelector("polygon")?.setAttribute("points", points.join(" "));
    outline.querySelectorAll("g").forEach((grip, place) => {
      grip.setAttribute("transform", `translate(${points[place].join(" ")})`);
    });
  }
}

movable(svg, "[data-outline] g", [width / 500, width / 50], (grip, x, y) => {
  const outline = /** @type {Element} */ (grip.parentElement);
  const all = corners(outline);
  const one = all[[...outline.querySelectorAll("g")].indexOf(/** @type {SVGGElement} */ (grip))];
  const within = (/** @type {number} */ share) => Math.min(1, Math.max(0, share));
  one.splice(0, 2, within(one[0] + x / width), within(one[1] + y / height));
  field(outline).value = all.map((pair) => pair.map((share) => share.toFixed(4)).join(",")).join(" ");
  draw();
});
document.addEventListener("input", draw);
draw();
