/** The client's page: the picture follows the choice, a place in it can be marked, a signature drawn. */
import { OrbitCamera } from "../orbit_camera.js";
import { orbitData } from "../orbit_data.js";
import { Picture } from "../picture.js";
import { Marks } from "./marks.js";
import { startPads } from "./signature_pad.js";

const orbit = orbitData(document);
/** @type {string[]} */
const views = JSON.parse(document.getElementById("offer-views")?.textContent ?? "[]");

/** @param {string} name of radio inputs @returns {string} value of the checked one */
function chosen(name) {
  const input = document.querySelector(`input[name="${name}"]:checked`);
  return input instanceof HTMLInputElement ? input.value : "0";
}

/** Place of the chosen still among the pictures of the offer. */
function pictureNumber() {
  const place = Number(chosen("finish")) * orbit.lightings.length + Number(chosen("lighting"));
  return place * views.length + Math.max(0, views.indexOf(chosen("view")));
}

/**
 * Sends a remark without leaving what is chosen and filled in; where that fails, the ordinary way.
 *
 * @param {HTMLFormElement} form
 * @param {Marks} marks
 */
async function send(form, marks) {
  const answer = await fetch(form.action, { method: "POST", body: new FormData(form) }).catch(() => null);
  if (!answer?.ok) {
    form.submit();
    return;
  }
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const said = page.querySelector(".said");
  if (said) document.querySelector(".said")?.replaceWith(said);
  form.reset();
  marks.sent();
  const words = form.querySelector("[data-mark-words]");
  if (words) words.textContent = form.dataset.sent ?? "";
}

function start() {
  const figure = /** @type {HTMLElement} */ (document.querySelector(".picture"));
  const picture = new Picture(figure, orbit, new OrbitCamera(orbit.space));
  const form = /** @type {HTMLFormElement} */ (document.querySelector("[data-remark]"));
  const marks = new Marks(figure, form);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    send(form, marks);
  });
  const show = () => {
    picture.show({ finish: chosen("finish"), lighting: chosen("lighting"), view: chosen("view") });
    marks.show(pictureNumber());
    const words = document.querySelector("[data-chosen]");
    if (words instanceof HTMLElement && words.lastElementChild) {
      words.hidden = false;
      words.lastElementChild.textContent = orbit.candidates[Number(chosen("finish"))].name;
    }
  };
  document.querySelector("[data-offer]")?.addEventListener("change", (event) => {
    const input = event.target;
    const picks = ["finish", "lighting", "view"];
    if (input instanceof HTMLInputElement && picks.includes(input.name)) show();
  });
  marks.addEventListener("wanted", () => {
    if (picture.switch.getAttribute("aria-pressed") !== "true" && !picture.switch.hidden)
      picture.switch.click();
  });
  picture.switch.addEventListener("click", () =>
    marks.onStill(picture.switch.getAttribute("aria-pressed") === "true"),
  );
  startPads(document);
  const told = document.querySelector("[data-told]");
  if (told instanceof HTMLElement) told.focus();
  show();
  picture.start();
}

start();
