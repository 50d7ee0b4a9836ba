/**
 * What the page hands to the orbit view (the JSON block ``orbit-data``). Lengths in metres, light in lux and cd/m2.
 *
 * @typedef {object} Spectra 41 values, 380 to 780 nm
 * @property {Record<string, number[]>} reflectance by surface word
 * @property {Record<string, [number[], number[]]>} zones early and late wood by surface word
 *
 * @typedef {object} Layout
 * @property {boolean} upright
 * @property {number} fabric_z_m
 * @property {number} finest_m width of a slat or of a gap, whichever is less
 *
 * @typedef {object} LightingData
 * @property {string} key
 * @property {string} name
 * @property {string} light address of the lighting's tables
 *
 * @typedef {object} Candidate
 * @property {string} key
 * @property {string} name
 * @property {string} state Indicative or Measured
 * @property {{growth: number[], knots: number[]}} figure how the timber grows, see figure.js
 * @property {Spectra} spectra
 * @property {string} [stems] of a finish that is tried on, base64
 * @property {Record<string, string>} [asked] how its still is asked for
 *
 * @typedef {object} OrbitData
 * @property {string} mesh address of the GLB
 * @property {string[]} surfaces words in the order of their ids
 * @property {Record<string, import("./orbit_camera.js").View>} views
 * @property {{min: [number, number, number], max: [number, number, number]}} space where the camera may stand
 * @property {string} figure address of the stems of every candidate, one array a candidate
 * @property {[number, number][]} slats middle across and start along of each slat
 * @property {Layout} layout
 * @property {LightingData[]} lightings
 * @property {Candidate[]} candidates
 * @property {string} still address of a server-made still with its version, to be completed with finish, lighting and view
 * @property {Record<string, string>} words sentences of the page
 */

/** @param {Document} page @returns {OrbitData} */
export function orbitData(page) {
  return JSON.parse(page.getElementById("orbit-data")?.textContent ?? "null");
}
