/**
 * First shading of the orbit view, to be replaced by the transport tables of the server's light.
 *
 * What it says and what it leaves out: lamps light the faces that see them by Lambert's formula for rectangles, with
 * no shadow but that of the groove; inside a groove the mouth counts as evenly lit, each point sees the share of it
 * that an endless groove of this depth and gap shows (check: sin and tan rules of an infinite slot), and light between
 * sides and backing is one mean value, solved in closed form. Two basis functions, so that a change of finish changes
 * only coefficients: b0 = light straight from the mouth, b1 = the part of the view that is groove.
 */

export const BASIS_COUNT = 2;
const MOST_LAMPS = 6;

export const basisGlsl = /* glsl */ `
#define MOST_LAMPS ${MOST_LAMPS}
uniform int lampCount;
uniform vec3 lampCorner[4 * MOST_LAMPS];
uniform float lampLuminance[MOST_LAMPS];
uniform float ambient;        // light from the room, seen by all its faces
uniform float alongY;         // 0 upright slats, 1 level
uniform vec4 faceEdges;       // left, bottom, right, top of the slatted face
uniform vec4 groove;          // start of the run, slat width, pitch, depth
uniform vec2 planes;          // z of the fabric, z of the slats' face

float edgeTerm(vec3 a, vec3 b, vec3 n) {
  vec3 c = cross(a, b);
  float s = length(c);
  if (s < 1e-9) return 0.0;
  return atan(s, dot(a, b)) * dot(c / s, n);
}

// Lambert 1760: irradiance from a polygon of even radiance; the horizon cuts by fading, not by clipping
float lampLight(vec3 p, vec3 n) {
  float sum = 0.0;
  for (int lamp = 0; lamp < MOST_LAMPS; lamp++) {
    if (lamp >= lampCount) break;
    vec3 corner[4];
    float above = 0.0;
    for (int i = 0; i < 4; i++) {
      corner[i] = lampCorner[4 * lamp + i] - p;
      above += step(0.0, dot(corner[i], n)) * 0.25;
    }
    float form = 0.0;
    for (int i = 0; i < 4; i++) {
      form += edgeTerm(normalize(corner[i]), normalize(corner[(i + 1) % 4]), n);
    }
    vec3 facing = cross(corner[1] - corner[0], corner[3] - corner[0]);
    if (dot(facing, corner[0]) > 0.0) continue;
    sum += max(0.0, -0.5 * form) * above * lampLuminance[lamp];
  }
  return sum;
}

float roomLight(vec3 p, vec3 n) {
  return lampLight(p, n) + ambient;
}

// share of the mouth that a point of the groove sees, endless in its length
float mouthShare(vec3 p, vec3 n, float u) {
  float depth = max(planes.y - p.z, 0.0);
  float gap = groove.z - groove.y;
  if (depth < 1e-5) return 1.0;
  if (abs(n.z) < 0.5) return 0.5 * (1.0 - depth / sqrt(depth * depth + gap * gap));
  float low = clamp(u - groove.y, 0.0, gap);
  float high = gap - low;
  return 0.5 * (low / sqrt(low * low + depth * depth) + high / sqrt(high * high + depth * depth));
}

void basis(vec3 p, vec3 n, int surface, out float b[${BASIS_COUNT}]) {
  bool within = p.x > faceEdges.x - 1e-4 && p.x < faceEdges.z + 1e-4 && p.y > faceEdges.y - 1e-4
    && p.y < faceEdges.w + 1e-4 && p.z > planes.x - 1e-3 && p.z < planes.y - 1e-5;
  float along = mix(p.x, p.y, alongY) - groove.x;
  float u = mod(along, groove.z);
  bool inGroove = within && (surface == FABRIC || surface == SLAT_SIDE || surface == PANEL_EDGE);
  vec3 mouth = inGroove ? vec3(p.xy, planes.y) : p;
  vec3 facing = inGroove ? vec3(0.0, 0.0, 1.0) : n;
  float light = roomLight(mouth, facing);
  float share = inGroove ? mouthShare(p, n, u) : 1.0;
  b[0] = light * share;
  b[1] = light * (1.0 - share);
}
`;

/** @param {number[]} rgb @param {number[]} other @param {number} share */
const mix = (rgb, other, share) => rgb.map((value, k) => value * (1 - share) + other[k] * share);

/**
 * Coefficients of the basis for one candidate under one lighting.
 *
 * @param {import("./orbit_data.js").Colours} colours linear sRGB reflectances by surface word, adapted
 * @param {import("./orbit_data.js").Groove} groove
 * @param {string[]} words the surface words in the order of their ids
 * @returns {Float32Array} (2 zones, words, BASIS_COUNT, 4): rgb and 0, zone 0 early wood
 */
export function coefficients(colours, groove, words) {
  const sides = mix(colours.slat_side.early, colours.slat_side.late, colours.slat_side.late_share);
  const mouth = groove.gap_m / (groove.gap_m + 2 * groove.depth_m);
  const within = colours.fabric.early.map(
    (fabric, k) =>
      (fabric * groove.gap_m + 2 * sides[k] * groove.depth_m) / (groove.gap_m + 2 * groove.depth_m),
  );
  const between = within.map((rho) => (rho * mouth) / (1 - rho * (1 - mouth)));
  const table = new Float32Array(2 * words.length * BASIS_COUNT * 4);
  words.forEach((word, surface) => {
    [colours[word].early, colours[word].late].forEach((reflectance, zone) => {
      const at = (zone * words.length + surface) * BASIS_COUNT * 4;
      reflectance.forEach((rho, k) => {
        table[at + k] = rho / Math.PI;
        table[at + 4 + k] = (rho * between[k]) / Math.PI;
      });
    });
  });
  return table;
}

/** Values of the uniforms that ``basisGlsl`` reads. @param {import("./orbit_data.js").OrbitData} orbit @param {number} lighting */
export function basisValues(orbit, lighting) {
  const { groove } = orbit;
  const { lamps, ambient } = orbit.lightings[lighting];
  const some = lamps.slice(0, MOST_LAMPS);
  const corners = some.flatMap((lamp) => lamp.corners.flat());
  return {
    lampCount: some.length,
    lampCorner: Float32Array.from({ length: 12 * MOST_LAMPS }, (_, k) => corners[k] ?? 0),
    lampLuminance: Float32Array.from({ length: MOST_LAMPS }, (_, k) => some[k]?.luminance ?? 0),
    ambient,
    alongY: groove.upright ? 0 : 1,
    faceEdges: groove.face_m,
    groove: [groove.start_m, groove.slat_m, groove.slat_m + groove.gap_m, groove.depth_m],
    planes: [groove.fabric_z_m, groove.front_z_m],
  };
}
