/**
 * The survey keeps itself: what is typed, and what comes to its lists or goes, is shelved in the browser at once and sent
 * a moment later; without a connection it waits there, through a reload too. The program's page says what is wrong, and where.
 */
import { Grips } from "./grips.js";
import { asked, show } from "./parts.js";
import { add, changes, restore, settle, take } from "./survey_lists.js";

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

const clear = () => localStorage.removeItem(own);
const lists = () => changes(form).map(({ said }) => said);
const waits = () => typed.size || lists().length;

function shelve() {
  const values = [...typed].map((name) => [name, field(name)?.value]);
  if (waits()) localStorage[own] = JSON.stringify([revision.value, values, lists()]);
  else clear();
}

/** What was typed before this module was there, or on a page that could not send it. */
function unshelve() {
  for (const one of form.querySelectorAll("input"))
    if (one.value !== one.defaultValue && one.id) typed.add(one.name);
  for (const key of Object.keys(localStorage).filter((one) => one.startsWith(shelf))) {
    /** @type {[revision: string, typed: [name: string, value: string][], lists: string[]]} */
    const [base, values, said] = JSON.parse(localStorage[key]);
    // two tabs changed lists: the later one's wait for a page of their own, which tells of both
    if (said.length && lists().length) continue;
    said.filter(isNew).forEach(restore);
    for (const [name, value] of values) {
      const box = field(name);
      if (!box || box.value === value) continue;
      box.value = value;
      typed.add(name);
    }
    if (waits()) revision.value = base;
    localStorage.removeItem(key);
  }
  shelve();
}

/** Whether a list as shelved has not come to the program already. @param {string} said */
function isNew(said) {
  const [path, ...was] = said.split(" ");
  return form.querySelectorAll(`[data-list="${path}"] > [data-row]`).length !== was.length;
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
  if ((!waits() || told) && !press) return;
  const names = typed;
  const sent = changes(form);
  typed = new Set();
  kept.textContent = words.keeping;
  const got = await asked(form.action, { method: "POST", body: new FormData(form, press) }).catch(() => null);
  const status = got?.answer.status;
  told = status === 409;
  if (got && status === 200) {
    clear();
    if (new URL(got.answer.url).pathname !== new URL(form.action).pathname) location.replace(got.answer.url);
    took(got.page, sent);
  } else {
    typed = new Set([...names, ...typed]);
    if (got && told) show(got.page);
    if (!got) later(AGAIN_MS);
  }
  form.querySelector("[data-part=other] button")?.scrollIntoView({ block: "center" });
  shelve();
  const state = told ? "other" : !got ? "waiting" : status !== 200 ? "refused" : waits() ? "keeping" : "kept";
  kept.textContent = words[state];
}

/** @param {Document} page @param {import("./survey_lists.js").Change[]} sent */
function took(page, sent) {
  if (settle(sent)) show(page);
  const now = /** @type {HTMLInputElement} */ (page.querySelector("[name=revision]"));
  revision.value = now.value;
  if (waits()) later(0);
  grips.forEach((one) => one.place());
}

/** A row comes or goes: shown at once, with a connection or without. @param {HTMLButtonElement} press */
function change(press) {
  const list = /** @type {HTMLElement} */ (press.closest("[data-list]"));
  const row = /** @type {HTMLElement} */ (press.closest("[data-row]"));
  const added = press.value.startsWith("add") && add(list);
  if (!added) take(row);
  hold();
  for (const one of form.querySelectorAll("input, select"))
    if (one.id) typed.add(one.getAttribute("name") ?? "");
  shelve();
  /** @type {NodeListOf<HTMLElement>} */
  const adds = list.querySelectorAll("[value^=add]");
  (added ? added.querySelector("select") : adds[adds.length - 1])?.focus();
  later(0);
}

/** Grips for the walls that are there now. */
function hold() {
  grips.forEach((one) => form.contains(one.sketch) || one.dispose());
  grips = [...form.querySelectorAll("[data-sketch]")].map(
    (sketch) => grips.find((one) => one.sketch === sketch) ?? new Grips(sketch, form, words.place),
  );
  grips.forEach((one) => one.place());
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
  const press = /** @type {HTMLButtonElement} */ (event.submitter);
  if (/^(add|take)/.test(press.value)) change(press);
  else send(press);
});
addEventListener("online", () => later(0));
addEventListener("pagehide", () => waits() && !told && navigator.sendBeacon(form.action, new FormData(form)));
document.addEventListener("click", async (event) => {
  const link = /** @type {Element} */ (event.target).closest("a");
  if (link?.matches("[data-drop]")) {
    typed.clear();
    clear();
  } else if (link && waits() && !told && navigator.onLine) {
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
unshelve();
hold();
later(0);
