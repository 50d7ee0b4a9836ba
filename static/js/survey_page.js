/**
 * The survey keeps itself: what is typed is shelved in the browser at once and sent a moment later; without a connection
 * it waits here, through a reload too. The program's page says what is wrong, and where.
 */
import { Grips } from "./grips.js";
import { asked, show } from "./parts.js";

const PAUSE_MS = 700;
const AGAIN_MS = 10_000;
const form = /** @type {HTMLFormElement} */ (document.querySelector("[data-survey]"));
const kept = /** @type {HTMLElement} */ (form.querySelector("[data-kept]"));
const keys = /** @type {HTMLElement} */ (form.querySelector("[data-keys]"));
const words = JSON.parse(form.dataset.words ?? "{}");
const shelf = `survey ${form.action} `;
const own = shelf + Math.random();

/** names of fields typed into since they were last kept @type {Set<string>} */
let typed = new Set();
let timer = 0;
/** another save came between: nothing goes out before a person has chosen */
let told = false;
let sending = Promise.resolve();
/** @type {Grips[]} */
let grips = [];

/** @param {string} name */
const field = (name) => /** @type {HTMLInputElement | null} */ (form.elements.namedItem(name));
const shelves = () => Object.keys(localStorage).filter((key) => key.startsWith(shelf));
const clear = () => shelves().forEach((key) => localStorage.removeItem(key));

function shelve() {
  const values = Object.fromEntries([...typed].map((name) => [name, field(name)?.value]));
  if (typed.size) localStorage.setItem(own, JSON.stringify([field("revision")?.value, values]));
  else localStorage.removeItem(own);
}

/** What an earlier page could not send is typed again, over the state that it was typed for. */
function unshelve() {
  for (const key of shelves()) {
    const [revision, values] = JSON.parse(localStorage.getItem(key) ?? "[]");
    for (const [name, value] of Object.entries(values)) {
      const here = field(name);
      if (!here || here.value === value) continue;
      here.value = value;
      typed.add(name);
      /** @type {HTMLInputElement} */ (field("revision")).value = revision;
    }
  }
  clear();
  // and what was typed before this module was there
  for (const one of form.querySelectorAll("input"))
    if (one.value !== one.defaultValue && one.id) typed.add(one.name);
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
  const status = got?.answer.status ?? 0;
  told = status === 409;
  if (!got || told || status !== 200) typed = new Set([...names, ...typed]);
  if (!got) later(AGAIN_MS);
  else if (told) {
    show(got.page);
    form.querySelector("[data-part=other] button")?.scrollIntoView({ block: "center" });
  } else if (status === 200) {
    clear();
    if (new URL(got.answer.url).pathname !== new URL(form.action).pathname) location.replace(got.answer.url);
    took(got.page, press?.getAttribute("value") ?? "");
  }
  shelve();
  kept.textContent =
    words[told ? "other" : !got ? "waiting" : status !== 200 ? "refused" : typed.size ? "keeping" : "kept"];
}

/** @param {Document} page @param {string} changes what was pressed: add or take, and the list */
function took(page, changes) {
  const [what, path] = changes.split(" ");
  const open = [...form.querySelectorAll("details[open]")].map((one) => one.id);
  if (path) show(page, "data-whole");
  show(page);
  /** @type {HTMLInputElement} */ (field("revision")).value =
    page.querySelector("[name=revision]")?.getAttribute("value") ?? "";
  if (!path) return grips.forEach((one) => one.place());
  open.forEach((id) => document.getElementById(id)?.setAttribute("open", ""));
  hold();
  const press = /** @type {HTMLElement} */ (form.querySelector(`[value="add ${path}"]`));
  const row = [...(press.closest("fieldset") ?? form).querySelectorAll(".rowgroup")].at(-1);
  const first = /** @type {HTMLElement | null | undefined} */ (row?.querySelector("select"));
  (what === "add" && first ? first : press).focus();
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
  keys.hidden = !(
    /** @type {Element} */ (target).matches(".length") && matchMedia("(pointer: coarse)").matches
  );
});
keys.addEventListener("pointerdown", (event) => {
  event.preventDefault(); // the field keeps the focus
  const here = document.activeElement;
  const sign = /** @type {Element} */ (event.target).closest("button");
  if (!sign || !(here instanceof HTMLInputElement)) return;
  here.setRangeText(sign.value || sign.innerText, here.selectionStart ?? 0, here.selectionEnd ?? 0, "end");
  here.dispatchEvent(new Event("input", { bubbles: true }));
});
kept.textContent = words.kept;
hold();
unshelve();
later(0);
