/**
 * The wall's shader: what a point sends out in each zone of the wood, mixed by the figure. Values are the display's
 * linear ones; there is no tone curve. A shading brings ``shade``, which reads its table of coefficients.
 *
 * The reconstruction filter is the stills' (meshes/stills/sampling.py): a frame is drawn at one place in it, ``even``
 * in a filter of one pixel and ``wide`` in one of three, which slats or gaps narrower than two pixels get across them.
 */
import { figureGlsl } from "./figure.js";

const vertex = /* glsl */ `
uniform vec2 even;
uniform vec2 wide;
uniform float focal;   // pixels
uniform float finest;  // narrower of slat and gap [m]
uniform float upright;
out float vSoft;
in float surface;
in float slat;
in vec3 place;
out vec3 vPoint;
out vec3 vPlace;
flat out vec3 vNormal;
flat out float vSurface;
flat out float vSlat;
void main() {
  vPoint = position;
  vPlace = place;
  vNormal = normal;
  vSurface = surface;
  vSlat = slat;
  vec4 seen = viewMatrix * vec4(position, 1.0);
  vSoft = 0.0;
  if (surface < float(ROOM_FLOOR)) {
    // one pixel on moves a ray by this across the slats in the plane of the fronts
    vec3 ray = position - cameraPosition;
    mat3 turn = transpose(mat3(viewMatrix));
    vec3 aside = upright > 0.5 ? turn[0] : turn[1];
    vec2 across = upright > 0.5 ? vec2(aside.x, ray.x) : vec2(aside.y, ray.y);
    float moved = -seen.z / focal * abs(across.x - across.y * aside.z / min(ray.z, -1e-6));
    vSoft = clamp((4.0 - finest / max(moved, 1e-6)) / 2.0, 0.0, 1.0);
  }
  gl_Position = projectionMatrix * seen;
  vec2 soft = vSoft * (upright > 0.5 ? vec2(1.0, 0.0) : vec2(0.0, 1.0));
  gl_Position.xy += mix(even, wide, soft) * gl_Position.w;
}
`;

/** @param {string[]} words surface words by id */
const ids = (words) => words.map((word, id) => `#define ${word.toUpperCase()} ${id}`).join("\n");

/** @param {string[]} words */
export const vertexShader = (words) => ids(words) + vertex;

/** @param {string} shadeGlsl defines shade() @param {string[]} words surface words by id */
export function fragmentShader(shadeGlsl, words) {
  return /* glsl */ `
precision highp float;
precision highp sampler2D;
${ids(words)}
#define WORDS ${words.length}
in vec3 vPoint;
in vec3 vPlace;
flat in vec3 vNormal;
flat in float vSurface;
flat in float vSlat;
in float vSoft;
out vec4 pixel;
${shadeGlsl}
${figureGlsl}
void main() {
  int surface = int(vSurface + 0.5);
  vec3 dx = dFdx(vPlace) * footprint;
  vec3 dy = dFdy(vPlace) * footprint;
  vec3 early;
  vec3 late;
  shade(vPoint, vNormal, surface, early, late);
  float mask = surface <= SLAT_END ? lateWood(vPlace, int(vSlat + 0.5), dx, dy) : 0.0;
  pixel = vec4(mix(early, late, mask), 1.0 - 0.5 * vSoft);
}
`;
}

export const lampVertex = /* glsl */ `
uniform vec2 even;
void main() {
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
  gl_Position.xy += even * gl_Position.w;
}
`;
/** A lamp shines on its face and is black behind. */
export const lampFragment = /* glsl */ `
precision highp float;
uniform vec3 shine;
out vec4 pixel;
void main() {
  pixel = vec4(gl_FrontFacing ? shine : vec3(0.0), 1.0);
}
`;
