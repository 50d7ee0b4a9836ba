/**
 * The survey keeps itself: what is typed is shelved in the browser at once and sent a moment later; without a connection
 * it waits there, through a reload too. The program's page says what is wrong, and where.
 */
import { Grips } from "./grips.js";
import { asked, show } from "./parts.js";

const PAUSE_MS = 700;
const AGAIN_MS = 10_000;
const form = /** @type {HTMLFormElement} */ (document.querySelector("[data-survey]"));
const kept = /** @type {HTMLOutputElement} */ (form.querySelector("[data-kept]"));
const keys = /** @type {HTMLElement} */ (form.querySelector("[data-keys]"));
/** @type {import("./types").SurveyWords} */
const words = JSON.parse(form.dataset.words ?? "{}");
const shelf = `survey ${form.action} `;
const own = shelf + Math.random();
/** @param {string} name @returns {HTMLInputElement | RadioNodeList | null} */
const field = (name) => {
  const found = form.elements.namedItem(name);
  return /** @type {HTMLInputElement | RadioNodeList | null} */ (found);
};
const revision = /** @type {HTMLInputElement} */ (field("revision"));

/** names of fields typed into since they were last kept @type {Set<string>} */
let typed = new Set();
let timer = 0;
/** another save came between: nothing goes out before a person has chosen */
let told = false;
let sending = Promise.resolve();
/** @type {Grips[]} */
let grips = [];

const shelves = () => Object.keys(localStorage).filter((key) => key.startsWith(shelf));
const clear = () => shelves().forEach((key) => localStorage.removeItem(key));

function shelve() {
  const values = [...typed].map((name) => [name, field(name)?.value]);
  if (typed.size) localStorage[own] = JSON.stringify([revision.value, values]);
  else localStorage.removeItem(own);
}

/** What was typed before this module was there, or on a page that could not send it. */
function unshelve() {
  for (const one of form.querySelectorAll("input"))
    if (one.value !== one.defaultValue && one.id) typed.add(one.name);
  for (const key of shelves()) {
    /** @type {[revision: string, typed: [name: string, value: string][]]} */
    const [base, values] = JSON.parse(localStorage[key]);
    for (const [name, value] of values) {
      const box = field(name);
      if (!box || box.value === value) continue;
      box.value = value;
      typed.add(name);
      revision.value = base;
    }
  }
  clear();
  shelve();
}

/** @param {number} pause_ms */
function later(pause_ms) {
  clearTimeout(timer);
  timer = setTimeout(send, pause_ms);
}

/** One after the other. @param {HTMLElement | null} [press] */
function send(press = null) {
  clearTimeout(timer);
  return (sending = sending.then(() => sendNow(press)));
}

/** @param {HTMLElement | null} press */
async function sendNow(press) {
  if ((!typed.size || told) && !press) return;
  const names = typed;
  typed = new Set();
  kept.textContent = words.keeping;
  const got = await asked(form.action, { method: "POST", body: new FormData(form, press) }).catch(() => null);
  const status = got?.answer.status;
  told = status === 409;
  if (got && status === 200) {
    clear();
    if (new URL(got.answer.url).pathname !== new URL(form.action).pathname) location.replace(got.answer.url);
    took(got.page, press?.getAttribute("value") ?? "");
  } else {
    typed = new Set([...names, ...typed]);
    if (got && told) show(got.page);
    if (!got) later(AGAIN_MS);
  }
  form.querySelector("[data-part=other] button")?.scrollIntoView({ block: "center" });
  shelve();
  const state = told
    ? "other"
    : !got
      ? "waiting"
      : status !== 200
        ? "refused"
        : typed.size
          ? "keeping"
          : "kept";
  kept.textContent = words[state];
}

/** @param {Document} page @param {string} pressed add or take, and the list */
function took(page, pressed) {
  const [what, list] = pressed.split(" ");
  const open = [...form.querySelectorAll("details[open]")];
  if (list) show(page, "data-whole");
  show(page);
  const now = /** @type {HTMLInputElement} */ (page.querySelector("[name=revision]"));
  revision.value = now.value;
  if (!list) return grips.forEach((one) => one.place());
  open.forEach(({ id }) => document.getElementById(id)?.setAttribute("open", ""));
  hold();
  const press = /** @type {HTMLButtonElement} */ (form.querySelector(`[value="add ${list}"]`));
  /** @type {NodeListOf<HTMLSelectElement>} */
  const first = (press.closest("fieldset") ?? form).querySelectorAll(".rowgroup > .field > select");
  const added = what === "add" ? [...first].at(-1) : null;
  (added ?? press).focus();
}

function hold() {
  grips.forEach((one) => one.dispose());
  grips = [...form.querySelectorAll("[data-sketch]")].map((one) => new Grips(one, form, words.place));
}

form.addEventListener("input", (event) => {
  kept.textContent = words.keeping;
  typed.add(/** @type {HTMLInputElement} */ (event.target).name);
  shelve();
  later(PAUSE_MS);
});
form.addEventListener("change", () => later(0));
form.addEventListener("submit", (event) => {
  event.preventDefault();
  send(event.submitter);
});
addEventListener("online", () => later(0));
addEventListener(
  "pagehide",
  () => typed.size && !told && navigator.sendBeacon(form.action, new FormData(form)),
);
document.addEventListener("click", async (event) => {
  const link = /** @type {Element} */ (event.target).closest("a");
  if (link?.matches("[data-drop]")) {
    typed.clear();
    clear();
  } else if (link && typed.size && !told && navigator.onLine) {
    event.preventDefault();
    await send();
    location.assign(link.href);
  }
});
form.addEventListener("focusin", ({ target }) => {
  const isLength = target instanceof Element && target.matches(".length");
  keys.hidden = !(isLength && matchMedia("(pointer: coarse)").matches);
});
keys.addEventListener("pointerdown", (event) => {
  event.preventDefault(); // the field keeps the focus
  const here = document.activeElement;
  if (!(event.target instanceof HTMLButtonElement && here instanceof HTMLInputElement)) return;
  const sign = event.target.value || event.target.innerText;
  here.setRangeText(sign, here.selectionStart ?? 0, here.selectionEnd ?? 0, "end");
  here.dispatchEvent(new Event("input", { bubbles: true }));
});
kept.textContent = words.kept;
hold();
unshelve();
later(0);
