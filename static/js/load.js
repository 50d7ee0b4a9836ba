/** Fetches what a view is made of. Three.js comes with it, so nothing of it loads before it is wanted. */
import { Container } from "./container.js";
import { readWall } from "./glb_reader.js";

/** @param {string} address */
export async function fetched(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${address} could not be had (${answer.status})`);
  return answer.arrayBuffer();
}

/** @param {import("./orbit_data.js").OrbitData} orbit */
export async function loadWall(orbit) {
  const [{ WallScene }, mesh, figure] = await Promise.all([
    import("./wall_scene.js"),
    fetched(orbit.mesh),
    fetched(orbit.figure),
  ]);
  return new WallScene(orbit, readWall(mesh), new Container(figure));
}
