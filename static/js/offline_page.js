/** The turning view of a file that asks nobody: the choices beside it drive it. */
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { Picture } from "./picture.js";

const figure = /** @type {HTMLElement} */ (document.querySelector(".picture"));
const orbit = orbitData(document);
const picture = new Picture(figure, orbit, new OrbitCamera(orbit.space));
const chosen = (/** @type {string} */ name) =>
  /** @type {HTMLInputElement} */ (figure.querySelector(`input[name=${name}]:checked`)).value;

function show() {
  picture.show({ finish: chosen("finish"), lighting: chosen("lighting"), view: chosen("view") });
}

figure.addEventListener("change", show);
show();
picture.start();
