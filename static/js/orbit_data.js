/**
 * What the page hands to the orbit view.
 *
 * @param {Document} page
 * @returns {import("./types").OrbitData}
 */
export const orbitData = (page) => JSON.parse(page.getElementById("orbit-data")?.textContent ?? "null");
