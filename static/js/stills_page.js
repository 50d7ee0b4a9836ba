/** The page of stills: while a picture is under way its progress is asked for, and the focus stays where it was. */
const EVERY_MS = 700;
const orders = /** @type {HTMLElement} */ (document.querySelector("[data-orders]"));

async function look() {
  if (!orders.querySelector("[data-open]")) return;
  const answer = await fetch(orders.dataset.orders ?? "");
  if (!answer.ok) throw new Error(`the pictures' progress could not be had (${answer.status})`);
  const focused = document.activeElement?.id;
  orders.innerHTML = await answer.text();
  if (focused) document.getElementById(focused)?.focus();
  setTimeout(look, EVERY_MS);
}

setTimeout(look, EVERY_MS);
