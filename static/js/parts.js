/** A page of the server as the next state of this one: its parts take the place of those that stand here. */

/**
 * @param {RequestInfo} address
 * @param {RequestInit} [how]
 * @returns {Promise<{answer: Response, page: Document}>} fails where nothing answers
 */
export async function asked(address, how) {
  const answer = await fetch(address, how);
  return { answer, page: new DOMParser().parseFromString(await answer.text(), "text/html") };
}

/**
 * Every element with the attribute, by its value, becomes what it is on the other page.
 *
 * @param {Document} page
 * @param {string} attribute
 * @returns {Element[]} those that changed
 */
export function take(page, attribute) {
  return [...document.querySelectorAll(`[${attribute}]`)].filter((here) => {
    const there = page.querySelector(`[${attribute}="${here.getAttribute(attribute)}"]`);
    if (!there || here.innerHTML === there.innerHTML) return false;
    here.replaceChildren(...[...there.childNodes].map((node) => document.importNode(node, true)));
    return true;
  });
}
