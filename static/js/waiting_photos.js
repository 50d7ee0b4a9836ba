/**
 * Photos of the wall wait in the browser until the program has them, through a reload and without a connection. Each
 * bears a key of its own: one that is sent twice is kept once.
 */
import { asked } from "./parts.js";

/** @typedef {{key: string, file: Blob}} Waiting */

const AGAIN_MS = 10_000;
const form = /** @type {HTMLFormElement} */ (document.querySelector("[data-photos]"));
const said = /** @type {HTMLElement} */ (document.querySelector("[data-said]"));
const list = /** @type {HTMLElement} */ (document.querySelector("[data-waiting]"));
const template = /** @type {HTMLTemplateElement} */ (document.querySelector("[data-photo]"));
const box = /** @type {HTMLInputElement} */ (form.elements.namedItem("photo"));
const own = `${form.action} `;
let timer = 0;
let sending = Promise.resolve();

/** @template T @param {IDBRequest<T>} ask @returns {Promise<T>} */
const answered = (ask) =>
  new Promise((done, failed) => {
    ask.onsuccess = () => done(ask.result);
    ask.onerror = () => failed(ask.error);
  });

async function photos() {
  const ask = indexedDB.open("slatwright", 1);
  ask.onupgradeneeded = () => ask.result.createObjectStore("photos", { keyPath: "key" });
  return (await answered(ask)).transaction("photos", "readwrite").objectStore("photos");
}

/** @returns {Promise<Waiting[]>} */
const waiting = async () => answered((await photos()).getAll(IDBKeyRange.bound(own, `${own}~`)));

/** @param {Waiting} one */
function place({ key, file }) {
  list.append(template.content.cloneNode(true));
  const item = /** @type {HTMLElement} */ (list.lastElementChild);
  item.dataset.key = key;
  /** @type {HTMLImageElement} */ (item.querySelector("img")).src = URL.createObjectURL(file);
  item.querySelector("button")?.addEventListener("click", () => drop(key));
}

/** @param {string} key */
async function drop(key) {
  await answered((await photos()).delete(key));
  for (const item of list.querySelectorAll("li")) {
    if (item.dataset.key !== key) continue;
    URL.revokeObjectURL(item.querySelector("img")?.src ?? "");
    item.remove();
  }
  if (!list.children.length) said.textContent = "";
}

function send() {
  clearTimeout(timer);
  sending = sending.then(sendNow);
}

async function sendNow() {
  for (const { key, file } of await waiting()) {
    const body = new FormData(form);
    body.set("key", key.slice(own.length));
    body.set("photo", file);
    const got = await asked(form.action, { method: "POST", body }).catch(() => null);
    const there = got?.page.querySelector("[data-part=photos]");
    if (!there) {
      said.textContent = (got ? form.dataset.refused : form.dataset.offline) ?? "";
      if (!got) timer = setTimeout(send, AGAIN_MS);
      return;
    }
    await drop(key);
    document.querySelector("[data-part=photos]")?.replaceWith(there);
  }
}

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  for (const file of box.files ?? []) {
    const one = { key: own + crypto.getRandomValues(new Uint32Array(4)).join("-"), file };
    await answered((await photos()).put(one));
    place(one);
  }
  form.reset();
  send();
});
addEventListener("online", send);
(await waiting()).forEach(place);
send();
