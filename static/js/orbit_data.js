/** What the page hands to the orbit view. */
export const orbitData = (page) => JSON.parse(page.getElementById("orbit-data")?.textContent ?? "null");
