/**
 * The survey keeps itself: what is typed is kept in the browser at once and sent to the program a moment later; without
 * a connection it waits here, through a reload too. The program's page says what is wrong, and where.
 */
import { Grips } from "./grips.js";
import { asked, take } from "./parts.js";

const PAUSE_MS = 700;
const AGAIN_MS = 10_000;

const form = /** @type {HTMLFormElement} */ (document.querySelector("[data-survey]"));
const kept = /** @type {HTMLElement} */ (form.querySelector("[data-kept]"));
const keys = /** @type {HTMLElement} */ (form.querySelector("[data-keys]"));
const words = JSON.parse(form.dataset.words ?? "{}");
const shelf = `survey ${form.action} `;
const own = shelf + Math.random();

/** names of the fields that were typed into since they were last kept @type {Set<string>} */
let typed = new Set();
let timer = 0;
let told = false;
/** @type {Promise<void>} */
let sending = Promise.resolve();

/** @param {string} name */
const field = (name) => /** @type {HTMLInputElement | null} */ (form.elements.namedItem(name));

function shelve() {
  if (typed.size === 0) localStorage.removeItem(own);
  else {
    const values = Object.fromEntries([...typed].map((name) => [name, field(name)?.value]));
    localStorage.setItem(own, JSON.stringify({ revision: field("revision")?.value, values }));
  }
}

function clearShelves() {
  for (const key of Object.keys(localStorage)) if (key.startsWith(shelf)) localStorage.removeItem(key);
}

/** What an earlier page could not send is typed again. */
function unshelve() {
  for (const key of Object.keys(localStorage).filter((one) => one.startsWith(shelf))) {
    const { revision, values } = JSON.parse(localStorage.getItem(key) ?? "{}");
    for (const [name, value] of Object.entries(values)) {
      const here = field(name);
      if (!here || here.value === value) continue;
      here.value = value;
      typed.add(name);
      /** @type {HTMLInputElement} */ (field("revision")).value = revision;
    }
    localStorage.removeItem(key);
  }
  shelve();
}

/** @param {number} pause_ms */
function later(pause_ms) {
  clearTimeout(timer);
  timer = setTimeout(() => send(), pause_ms);
}

/** One after the other. @param {HTMLElement | null} [press] */
function send(press = null) {
  clearTimeout(timer);
  sending = sending.then(() => sendNow(press));
  return sending;
}

/** @param {HTMLElement | null} press */
async function sendNow(press) {
  const changes = press?.getAttribute("value") ?? "save";
  if ((typed.size === 0 || told) && !press) return;
  const names = typed;
  typed = new Set();
  kept.textContent = words.keeping;
  let got;
  try {
    got = await asked(form.action, { method: "POST", body: new FormData(form, press) });
  } catch {
    later(AGAIN_MS);
  }
  if (!got || ![200, 409].includes(got.answer.status)) {
    typed = new Set([...names, ...typed]);
    shelve();
    kept.textContent = got ? words.refused : words.waiting;
    return;
  }
  told = got.answer.status === 409;
  if (told) for (const name of names) typed.add(name);
  else if (new URL(got.answer.url).pathname !== new URL(form.action).pathname) {
    clearShelves();
    location.replace(got.answer.url);
    return;
  }
  show(got.page, changes);
  shelve();
  kept.textContent = told ? words.other : typed.size ? words.keeping : words.kept;
}

/** @param {Document} page @param {string} changes */
function show(page, changes) {
  const whole = /^(add|take) /.test(changes) && !told;
  const open = [...document.querySelectorAll("details[open]")].map((one) => one.id);
  if (whole) take(page, "data-whole");
  take(page, "data-part");
  for (const there of page.querySelectorAll("input[id], select[id]")) {
    const here = document.getElementById(there.id);
    const wrong = there.getAttribute("aria-describedby");
    if (!here) continue;
    here.toggleAttribute("aria-invalid", false);
    here.toggleAttribute("aria-describedby", false);
    if (wrong) {
      here.setAttribute("aria-invalid", "true");
      here.setAttribute("aria-describedby", wrong);
    }
    here.closest(".field")?.classList.toggle("wrong", Boolean(there.closest(".wrong")));
  }
  const revision = page.querySelector("[name=revision]")?.getAttribute("value");
  if (!told && revision) /** @type {HTMLInputElement} */ (field("revision")).value = revision;
  grips.forEach((one) => one.place());
  if (told) document.querySelector("[data-part=other] button")?.scrollIntoView({ block: "center" });
  if (!whole) return;
  for (const id of open) document.getElementById(id)?.setAttribute("open", "");
  startGrips();
  const [what, path] = changes.split(" ");
  const presses = [...form.querySelectorAll("button")].filter((one) => one.value === `add ${path}`);
  const rows = [...(presses[0]?.closest("fieldset") ?? form).querySelectorAll(".rowgroup")];
  const next = what === "add" ? rows.at(-1)?.querySelector("select, input") : presses[0];
  if (next instanceof HTMLElement) next.focus();
}

/** @type {Grips[]} */
let grips = [];
function startGrips() {
  grips.forEach((one) => one.dispose());
  grips = [...form.querySelectorAll("[data-sketch]")].map(
    (one) => new Grips(/** @type {HTMLElement} */ (one), form, words.place),
  );
}

function start() {
  kept.textContent = words.kept;
  startGrips();
  unshelve();
  later(0);
  form.addEventListener("input", (event) => {
    typed.add(/** @type {HTMLInputElement} */ (event.target).name);
    shelve();
    later(PAUSE_MS);
  });
  form.addEventListener("change", () => later(0));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (event.submitter?.getAttribute("name") === "revision") told = false;
    send(event.submitter);
  });
  addEventListener("online", () => later(0));
  addEventListener("pagehide", () => {
    if (typed.size && !told) navigator.sendBeacon(form.action, new FormData(form));
  });
  document.addEventListener("click", async (event) => {
    const link = /** @type {Element} */ (event.target).closest("a");
    if (link?.hasAttribute("data-drop")) {
      typed.clear();
      clearShelves();
    } else if (link && typed.size && !told && navigator.onLine) {
      event.preventDefault();
      await send();
      location.assign(link.href);
    }
  });
  form.addEventListener("focusin", (event) => {
    const here = /** @type {Element} */ (event.target);
    keys.hidden = !(here.matches(".length") && matchMedia("(pointer: coarse)").matches);
  });
  keys.addEventListener("pointerdown", (event) => {
    event.preventDefault(); // the field keeps the focus
    const here = document.activeElement;
    const sign = /** @type {Element} */ (event.target).closest("button");
    if (!sign || !(here instanceof HTMLInputElement)) return;
    here.setRangeText(
      sign.value || sign.textContent || "",
      here.selectionStart ?? 0,
      here.selectionEnd ?? 0,
      "end",
    );
    here.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

start();
