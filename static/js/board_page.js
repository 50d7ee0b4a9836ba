/** The board page: all candidates turn together; without WebGL each cell shows its still. */
import { Container } from "./container.js";
import { fetched, loadWall } from "./load.js";
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { OrbitInput } from "./orbit_input.js";

const board = /** @type {HTMLElement} */ (document.querySelector("[data-board]"));
const turning = /** @type {HTMLElement} */ (document.querySelector("[data-turning]"));
const notice = /** @type {HTMLElement} */ (document.querySelector("[data-notice]"));
const orbit = orbitData(document);

function chosenView() {
  return /** @type {HTMLInputElement} */ (document.querySelector('input[name="view"]:checked')).value;
}

/** @param {() => void} act when another view is chosen; the other choices are asked for by their button */
function onView(act) {
  document.addEventListener("change", ({ target }) => {
    if (target instanceof HTMLInputElement && target.name === "view") act();
  });
}

/** @param {string} words */
function say(words) {
  notice.textContent = words;
  notice.hidden = words === "";
}

/** @returns {import("./types").Cell[]} */
function cells() {
  return [...board.querySelectorAll("[data-cell]")].map((cell) => {
    const element = /** @type {HTMLElement} */ (cell);
    return { element, candidate: Number(element.dataset.finish), lighting: Number(element.dataset.lighting) };
  });
}

function showStills() {
  for (const { element, candidate, lighting } of cells()) {
    const query = new URLSearchParams({
      finish: orbit.candidates[candidate].key,
      lighting: orbit.lightings[lighting].key,
      view: chosenView(),
      width: "480",
    });
    const image = element.querySelector("img") ?? new Image();
    image.alt = `${orbit.candidates[candidate].name}, ${orbit.lightings[lighting].name}`;
    image.src = `${orbit.still}&${query}`;
    element.append(image);
  }
  board.dataset.state = "still";
}

async function turnTogether() {
  const [{ OrbitView }, wall] = await Promise.all([import("./orbit_view.js"), loadWall(orbit)]);
  const camera = new OrbitCamera(orbit.space);
  const canvas = document.createElement("canvas");
  canvas.setAttribute("aria-hidden", "true");
  board.prepend(canvas);
  board.tabIndex = 0;
  const view = new OrbitView(canvas, wall, camera, cells());
  new OrbitInput(board, turning, camera);
  view.addEventListener("rest", () => (board.dataset.state = "rest"));
  view.addEventListener("drawn", () => (board.dataset.state = "drawing"));
  view.addEventListener("lost", () => {
    view.dispose();
    canvas.remove();
    showStills();
    say(orbit.words.lost);
  });
  camera.look(orbit.views[chosenView()]);
  onView(() => camera.look(orbit.views[chosenView()]));
  turning.hidden = false;
  say(orbit.words.light_coming);
  for (let lighting = 0; lighting < orbit.lightings.length; lighting += 1) {
    wall.addLight(lighting, new Container(await fetched(orbit.lightings[lighting].light)));
    view.redraw();
  }
  say("");
  board.dataset.light = "all";
}

if (document.createElement("canvas").getContext("webgl2")) {
  turnTogether().catch((error) => {
    showStills();
    say(orbit.words.no_light);
    throw error;
  });
} else {
  showStills();
  onView(showStills);
  say(orbit.words.no_webgl);
}
