/** The turning view of a file that asks nobody: the choices beside it drive it. */
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { Picture, chosen } from "./picture.js";

const figure = /** @type {HTMLElement} */ (document.querySelector(".picture"));
const orbit = orbitData(document);
const picture = new Picture(figure, orbit, new OrbitCamera(orbit.space));
const show = () => picture.show(chosen(figure));

figure.addEventListener("change", show);
show();
picture.start();
