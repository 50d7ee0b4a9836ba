/**
 * The finish page: what the form says is put on the wall. A candidate asks the server nothing; anything else asks once,
 * and the tones on another timber follow by themselves.
 */
import { OrbitCamera } from "./orbit_camera.js";
import { orbitData } from "./orbit_data.js";
import { Picture } from "./picture.js";

const find = (/** @type {string} */ what) => /** @type {HTMLElement} */ (document.querySelector(what));
const form = /** @type {HTMLFormElement} */ (find("#finish"));
const tried = find("[data-tried]");
const tones = find("[data-tones]");
const orbit = orbitData(document);
const picture = new Picture(find(".picture"), orbit, new OrbitCamera(orbit.space));
const place = orbit.candidates.length - 1;
let shown = document.querySelector("[data-candidate][aria-current=true]")?.getAttribute("data-candidate");
shown ??= orbit.candidates[place].key;
let asking = 0;
/** the tones on show are those of the timber before */
let behind = false;

const values = () => new FormData(form);
const query = () => new URLSearchParams(/** @type {[string, string][]} */ ([...values()]));

/** @param {string | null | undefined} key of the reading that stands beside the view */
function reveal(key) {
  for (const part of document.querySelectorAll("[data-reading]")) {
    if (part instanceof HTMLElement) part.hidden = part.dataset.reading !== key;
  }
}

function show() {
  const given = values();
  picture.show({
    finish: String(shown),
    lighting: String(given.get("lighting")),
    view: String(given.get("view")),
  });
  reveal(shown);
  for (const link of document.querySelectorAll("[data-candidate]")) {
    link.setAttribute("aria-current", String(link.getAttribute("data-candidate") === shown));
  }
}

/** @param {string} what @returns {Promise<Response | null>} null once a later question was asked */
async function asked(what) {
  const mine = asking;
  const answer = await fetch(`${form.dataset.address}/${what}?${query()}`);
  if (!answer.ok) throw new Error(`${what} could not be had (${answer.status})`);
  return mine === asking ? answer : null;
}

async function tryOn() {
  asking += 1;
  /** @type {import("./types").Tried | undefined} */
  const made = await (await asked("tried"))?.json();
  if (!made) return;
  tried.innerHTML = made.reading;
  if (!made.candidate) return reveal(tried.dataset.reading);
  picture.replace(place, made.candidate);
  shown = tried.dataset.reading = made.candidate.key;
  history.replaceState(null, "", `?${query()}`);
  show();
}

async function followTones() {
  const answer = await asked("tones");
  if (!answer) return;
  tones.innerHTML = await answer.text();
  behind = false;
}

/** @param {Iterable<HTMLInputElement>} radios @param {string} value of the one to be checked, or of none */
function pick(radios, value) {
  for (const one of radios) one.checked = one.value === value;
}

/** @param {HTMLAnchorElement} link of a candidate: its address holds the fields */
function choose(link) {
  asking += 1;
  for (const [name, value] of new URL(link.href).searchParams) {
    const field = /** @type {HTMLInputElement | RadioNodeList | null} */ (form.elements.namedItem(name));
    if (name === "stain") pick(/** @type {NodeListOf<HTMLInputElement>} */ (field), value);
    else if (field) field.value = value;
  }
  shown = link.dataset.candidate ?? "";
  behind = true;
  history.replaceState(null, "", link.href);
  show();
}

/**
 * Whether a field says something else than the page that came.
 *
 * @param {Element} field
 * @returns {field is HTMLInputElement | HTMLSelectElement}
 */
function isChanged(field) {
  if (field instanceof HTMLSelectElement)
    return [...field.options].some((one, at) => one.selected !== one.defaultSelected && at > 0);
  if (!(field instanceof HTMLInputElement)) return false;
  return field.type === "radio" ? field.checked && !field.defaultChecked : field.value !== field.defaultValue;
}

/** @param {{name: string}} field that a person changed */
function follow(field) {
  if (field.name === "lighting" || field.name === "view") return show();
  if (/^(first|second)/.test(field.name)) {
    const own = /** @type {HTMLInputElement} */ (find("[name=stain][value='']"));
    own.checked = true;
  }
  tryOn().then(field.name === "stain" ? undefined : followTones);
}

document.addEventListener("change", ({ target }) => {
  const field = /** @type {HTMLInputElement} */ (target);
  if (field.form === form) follow(field);
});
document.addEventListener("click", (event) => {
  const link = event.target instanceof Element ? event.target.closest("[data-candidate]") : null;
  if (!(link instanceof HTMLAnchorElement) || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  choose(link);
});
for (const near of ["pointerenter", "focusin"]) {
  tones.addEventListener(near, () => behind && followTones());
}
form.addEventListener("submit", (event) => event.preventDefault());
find("#keep").addEventListener("formdata", ({ formData }) => {
  for (const [name, value] of values()) formData.set(name, value);
});
show();
picture.start();
// whoever was quicker than these scripts is not left behind
const early = [...form.elements].filter(isChanged);
if (early.length > 0) follow(early.find(({ name }) => /^(first|second)/.test(name)) ?? early[0]);
