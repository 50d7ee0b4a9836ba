/** The board page: all candidates turn together; without WebGL each cell shows its still. */
import { Container } from "./container.js";
import { fetched, loadWall } from "./load.js";
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { listen } from "./orbit_input.js";

const find = (/** @type {string} */ what) => /** @type {HTMLElement} */ (document.querySelector(what));
const [board, turning, notice] = ["[data-board]", "[data-turning]", "[data-notice]"].map(find);
const orbit = orbitData(document);
const view = () => /** @type {HTMLInputElement} */ (find('input[name="view"]:checked')).value;
/** @type {import("./types").Cell[]} */
const cells = [...board.querySelectorAll("[data-cell]")].map((cell) => {
  const element = /** @type {HTMLElement} */ (cell);
  return { element, candidate: Number(element.dataset.finish), lighting: Number(element.dataset.lighting) };
});
const canvas = document.createElement("canvas");

/** Another view is chosen; the other choices are asked for by their button. @param {() => void} act */
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

/** @param {string} why */
function showStills(why) {
  for (const { element, candidate, lighting } of cells) {
    const [finish, light] = [orbit.candidates[candidate], orbit.lightings[lighting]];
    const query = new URLSearchParams({
      finish: finish.key,
      lighting: light.key,
      view: view(),
      width: "480",
    });
    const image = element.querySelector("img") ?? new Image();
    image.alt = `${finish.name}, ${light.name}`;
    image.src = `${orbit.still}&${query}`;
    element.append(image);
  }
  canvas.hidden = true;
  board.dataset.state = "still";
  say(why);
}

async function turnTogether() {
  const [{ OrbitView }, wall] = await Promise.all([import("./orbit_view.js"), loadWall(orbit)]);
  const camera = new OrbitCamera(orbit.space);
  canvas.setAttribute("aria-hidden", "true");
  board.prepend(canvas);
  board.tabIndex = 0;
  const shown = new OrbitView(canvas, wall, camera, cells);
  listen(board, turning, camera);
  shown.addEventListener("rest", () => (board.dataset.state = "rest"));
  shown.addEventListener("drawn", () => (board.dataset.state = "drawing"));
  shown.addEventListener("lost", () => showStills(orbit.words.lost));
  shown.addEventListener("back", () => {
    for (const { element } of cells) element.querySelector("img")?.remove();
    canvas.hidden = false;
    say("");
  });
  camera.look(orbit.views[view()]);
  onView(() => camera.look(orbit.views[view()]));
  turning.hidden = false;
  say(orbit.words.light_coming);
  for (const [lighting, { light }] of orbit.lightings.entries()) {
    wall.addLight(lighting, new Container(await fetched(light)));
    shown.redraw();
  }
  say("");
  board.dataset.light = "all";
}

if (document.createElement("canvas").getContext("webgl2")) {
  turnTogether().catch((error) => {
    showStills(orbit.words.no_light);
    throw error;
  });
} else {
  showStills(orbit.words.no_webgl);
  onView(() => showStills(orbit.words.no_webgl));
}
