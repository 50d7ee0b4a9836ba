/** The set-out page: every change is set out at once by the program's page; the turning view follows when it rests. */
import { fetched } from "./load.js";
import { OrbitCamera } from "./orbit_camera.js";
import { asked, show } from "./parts.js";
import { Picture } from "./picture.js";

const PAUSE_MS = 120;
const VIEW_PAUSE_MS = 600;
const form = /** @type {HTMLFormElement} */ (document.querySelector("[data-trial]"));
let round = 0;
let timer = 0;

/** @param {string} address */
async function tryOut(address) {
  const mine = (round += 1);
  const { page } = await asked(address);
  if (mine !== round) return;
  history.replaceState(null, "", address);
  for (const part of show(page)) {
    part.classList.remove("moved");
    requestAnimationFrame(() => part.classList.add("moved"));
  }
  clearTimeout(timer);
  timer = setTimeout(turn, VIEW_PAUSE_MS);
}

function trial() {
  const typed = /** @type {[string, string][]} */ ([...new FormData(form)]);
  return `${form.action}?${new URLSearchParams(typed)}`;
}

/** @type {Picture | null} */
let picture = null;
let shown = "";
/** @type {Promise<void>} */
let turned = Promise.resolve();
const figure = document.querySelector("[data-orbit-holder]");
const blank = /** @type {Element | undefined} */ (figure?.cloneNode(true));
let holder = figure;

/** The picture of what is tried, seen from where the last one was seen. One after the other. */
function turn() {
  turned = turned.then(async () => {
    const address = document.querySelector("[data-orbit]")?.getAttribute("data-orbit");
    if (!holder || !blank || !address || address === shown) return;
    shown = address;
    /** @type {import("./types").OrbitData} */
    const orbit = JSON.parse(new TextDecoder().decode(await fetched(address)));
    if (picture) {
      const { camera } = picture;
      for (const view of Object.values(orbit.views)) {
        Object.assign(view, { position: camera.position(), target: camera.target, aspect: camera.aspect });
      }
      picture.view?.dispose();
      const next = /** @type {Element} */ (blank.cloneNode(true));
      next.querySelector("[data-still]")?.removeAttribute("src");
      for (const input of holder.querySelectorAll("input")) {
        const twin = next.querySelector(`input[value="${input.value}"]`);
        if (twin instanceof HTMLInputElement) twin.checked = input.checked;
      }
      holder.replaceWith(next);
      holder = next;
    }
    picture = new Picture(holder, orbit, new OrbitCamera(orbit.space));
    choose();
    await picture.start();
  });
  return turned;
}

function choose() {
  const [lighting, view] = [...(holder?.querySelectorAll("input:checked") ?? [])].map(
    (one) => /** @type {HTMLInputElement} */ (one).value,
  );
  picture?.show({ finish: "0", lighting, view });
}

let waiting = 0;
function later() {
  clearTimeout(waiting);
  waiting = setTimeout(() => tryOut(trial()), PAUSE_MS);
}

form.addEventListener("input", later);
form.addEventListener("submit", (event) => {
  event.preventDefault();
  later();
});
document.addEventListener("change", ({ target }) => {
  if (holder?.contains(/** @type {Node} */ (target))) choose();
});
// typed before this module was there
if ([...form.querySelectorAll("input")].some((one) => one.value !== one.defaultValue)) later();
turn();
