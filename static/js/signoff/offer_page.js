/** One offer for its maker: says how far the pictures are, and shows the rest once they are there. */
const PAUSE_MS = 1500;

/** @param {HTMLElement} part says how far it is @param {string} offer its id */
async function follow(part, offer) {
  const words = part.querySelector("[data-progress-words]");
  const bar = part.querySelector("progress");
  for (;;) {
    const answer = await fetch(`/offers/${offer}/state`);
    if (!answer.ok) return;
    /** @type {import("../types").OfferState} */
    const state = await answer.json();
    if (state.done === state.wanted) {
      window.location.reload();
      return;
    }
    if (bar) bar.value = state.done;
    if (words) words.textContent = state.words;
    await new Promise((resume) => setTimeout(resume, PAUSE_MS));
  }
}

const part = document.querySelector("[data-progress]");
if (part instanceof HTMLElement && part.dataset.progress) follow(part, part.dataset.progress);

const link = document.querySelector("[data-link]");
if (link instanceof HTMLInputElement) {
  link.addEventListener("focus", () => link.select());
}
