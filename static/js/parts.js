/** A page of the program as the next state of this one: its parts take the place of those that stand here. */

/**
 * @param {string | URL} address
 * @param {RequestInit} [how]
 * @returns {Promise<{answer: Response, page: Document}>} fails where nothing answers
 */
export async function asked(address, how) {
  const answer = await fetch(address, how);
  return { answer, page: new DOMParser().parseFromString(await answer.text(), "text/html") };
}

/**
 * Every part becomes what it is on the other page, and every field as wrong as it is there.
 *
 * @param {Document} page
 * @returns {Element[]} the parts that changed
 */
export function show(page) {
  for (const there of page.querySelectorAll(".field")) {
    for (const box of there.querySelectorAll("[id][name]")) {
      const here = document.getElementById(box.id);
      for (const name of ["aria-invalid", "aria-describedby"]) {
        const value = box.getAttribute(name);
        if (value) here?.setAttribute(name, value);
        else here?.removeAttribute(name);
      }
      here?.closest(".field")?.classList.toggle("wrong", there.matches(".wrong"));
    }
  }
  return [...document.querySelectorAll("[data-part]")].filter((here) => {
    const there = page.querySelector(`[data-part="${here.getAttribute("data-part")}"]`);
    if (!there || here.innerHTML === there.innerHTML) return false;
    here.innerHTML = there.innerHTML;
    return true;
  });
}
