/**
 * First shading of the orbit view, shown until the server's light has arrived; the page says so while it stands.
 *
 * Lamps light the faces that see them by Lambert's formula for rectangles, with no shadow but that of the groove.
 * Inside a groove the mouth counts as evenly lit, each point sees the share of it that an endless groove of this
 * depth and gap shows (difference of sines), and light between sides and backing is one mean value, solved in closed
 * form.
 */
import { DataTexture, FloatType, RGBAFormat } from "three";

const MOST_LAMPS = 6;

export const shadeGlsl = /* glsl */ `
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

void shade(vec3 p, vec3 n, int surface, out vec3 early, out vec3 late) {
  bool within = p.x > faceEdges.x - 1e-4 && p.x < faceEdges.z + 1e-4 && p.y > faceEdges.y - 1e-4
    && p.y < faceEdges.w + 1e-4 && p.z > planes.x - 1e-3 && p.z < planes.y - 1e-5;
  float along = mix(p.x, p.y, alongY) - groove.x;
  float u = mod(along, groove.z);
  bool inGroove = within && (surface == FABRIC || surface == SLAT_SIDE || surface == PANEL_EDGE);
  vec3 mouth = inGroove ? vec3(p.xy, planes.y) : p;
  vec3 facing = inGroove ? vec3(0.0, 0.0, 1.0) : n;
  float light = roomLight(mouth, facing);
  float share = inGroove ? mouthShare(p, n, u) : 1.0;
  ivec2 at = ivec2(0, surface);
  ivec2 other = ivec2(0, surface + WORDS);
  ivec2 next = ivec2(1, 0);
  early = light * mix(texelFetch(coefficients, at + next, 0).rgb, texelFetch(coefficients, at, 0).rgb, share);
  late = light * mix(texelFetch(coefficients, other + next, 0).rgb, texelFetch(coefficients, other, 0).rgb, share);
}
`;

/** @param {number[]} rgb @param {number[]} other @param {number} share */
const mix = (rgb, other, share) => rgb.map((value, k) => value * (1 - share) + other[k] * share);

/** The shading of one lighting. */
export class FirstShading {
  /** @param {import("./orbit_data.js").OrbitData} orbit @param {number} lighting */
  constructor(orbit, lighting) {
    this.orbit = orbit;
    this.lighting = orbit.lightings[lighting];
    const height = 2 * orbit.surfaces.length;
    this.coefficients = new DataTexture(new Float32Array(2 * height * 4), 2, height, RGBAFormat, FloatType);
    /** @type {Record<string, {value: any}>} */
    this.uniforms = { coefficients: { value: this.coefficients }, ...this.#uniforms() };
  }

  #uniforms() {
    const { groove } = this.orbit;
    const { lamps, ambient } = this.lighting;
    const some = lamps.slice(0, MOST_LAMPS);
    const corners = some.flatMap((lamp) => lamp.corners.flat());
    return {
      lampCount: { value: some.length },
      lampCorner: { value: Float32Array.from({ length: 12 * MOST_LAMPS }, (_, k) => corners[k] ?? 0) },
      lampLuminance: { value: Float32Array.from({ length: MOST_LAMPS }, (_, k) => some[k]?.luminance ?? 0) },
      ambient: { value: ambient },
      alongY: { value: groove.upright ? 0 : 1 },
      faceEdges: { value: groove.face_m },
      groove: { value: [groove.start_m, groove.slat_m, groove.slat_m + groove.gap_m, groove.depth_m] },
      planes: { value: [groove.fabric_z_m, groove.front_z_m] },
    };
  }

  /** @param {import("./orbit_data.js").Candidate} candidate */
  show(candidate) {
    const { groove, surfaces } = this.orbit;
    const colours = candidate.colours[this.lighting.key];
    const sides = mix(colours.slat_side.early, colours.slat_side.late, colours.slat_side.late_share);
    const mouth = groove.gap_m / (groove.gap_m + 2 * groove.depth_m);
    const between = colours.fabric.early.map((fabric, k) => {
      const rho = fabric * mouth + sides[k] * (1 - mouth);
      return (rho * mouth) / (1 - rho * (1 - mouth));
    });
    const table = /** @type {Float32Array} */ (this.coefficients.image.data);
    surfaces.forEach((word, surface) => {
      [colours[word].early, colours[word].late].forEach((reflectance, zone) => {
        const at = (zone * surfaces.length + surface) * 8;
        reflectance.forEach((rho, k) => {
          const sent = (this.lighting.exposure * rho) / Math.PI;
          table[at + k] = sent;
          table[at + 4 + k] = sent * between[k];
        });
      });
    });
    this.coefficients.needsUpdate = true;
  }

  dispose() {
    this.coefficients.dispose();
  }
}
