/**
 * What the page hands to the orbit view (the JSON block ``orbit-data``). Lengths in metres, light in lux and cd/m2.
 *
 * @typedef {[number, number, number]} Rgb linear sRGB, adapted to the lighting's white
 * @typedef {{early: Rgb, late: Rgb, late_share: number}} Zones both zones alike on anything but wood
 * @typedef {Record<string, Zones>} Colours by surface word
 *
 * @typedef {object} Spectra 41 values, 380 to 780 nm
 * @property {Record<string, number[]>} reflectance by surface word
 * @property {Record<string, [number[], number[]]>} zones early and late wood by surface word
 *
 * @typedef {object} Groove
 * @property {boolean} upright
 * @property {number} start_m where the first slat starts, along the run
 * @property {number} slat_m
 * @property {number} gap_m
 * @property {number} depth_m
 * @property {[number, number, number, number]} face_m left, bottom, right, top
 * @property {number} fabric_z_m
 * @property {number} front_z_m
 *
 * @typedef {object} LightingData
 * @property {string} key
 * @property {string} name
 * @property {string} light address of the lighting's tables
 * @property {{corners: [number, number, number][], luminance: number}[]} lamps corners in order round the face
 * @property {number} ambient illuminance from the room, about
 * @property {number} exposure picture value of 1 cd/m2, so that a white card stays below 1
 *
 * @typedef {object} Candidate
 * @property {string} key
 * @property {string} name
 * @property {string} state Indicative or Measured
 * @property {{growth: number[], knots: number[]}} figure how the timber grows, see figure.js
 * @property {Spectra} spectra
 * @property {Record<string, Colours>} colours by lighting key
 *
 * @typedef {object} OrbitData
 * @property {string} mesh address of the GLB
 * @property {string[]} surfaces words in the order of their ids
 * @property {Record<string, import("./orbit_camera.js").View>} views
 * @property {{min: [number, number, number], max: [number, number, number]}} space where the camera may stand
 * @property {string} figure address of the stems of every candidate, one array a candidate
 * @property {[number, number][]} slats middle across and start along of each slat
 * @property {Groove} groove
 * @property {LightingData[]} lightings
 * @property {Candidate[]} candidates
 * @property {string} still address of a server-made still, to be completed with finish, lighting, view and size
 * @property {Record<string, string>} words sentences of the page
 */

/** @param {Document} page @returns {OrbitData} */
export function orbitData(page) {
  return JSON.parse(page.getElementById("orbit-data")?.textContent ?? "null");
}
