/** Fetches what a view is made of. Three.js comes with it, so nothing of it loads before it is wanted. */
import { Container } from "./container.js";

/** @param {string} address */
export async function fetched(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address} could not be had (${answer.status})`);
  return answer.arrayBuffer();
}

/**
 * The same wall with things in its room: each address asks for them.
 *
 * @param {import("./types").OrbitData} orbit
 * @param {string[]} things
 * @returns {import("./types").OrbitData}
 */
export function withThings(orbit, things) {
  const asked = (/** @type {string} */ address) => address + things.map((one) => `&with=${one}`).join("");
  return {
    ...orbit,
    figure: asked(orbit.figure),
    still: orbit.still && asked(orbit.still),
    lightings: orbit.lightings.map((one) => ({ ...one, light: asked(one.light) })),
  };
}

/** @param {import("./types").OrbitData} orbit */
export async function loadWall(orbit) {
  const [{ WallScene }, figure] = await Promise.all([import("./wall_scene.js"), fetched(orbit.figure)]);
  return new WallScene(orbit, new Container(figure));
}
