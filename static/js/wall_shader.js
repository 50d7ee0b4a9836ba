/**
 * The wall's shader: what a point sends out in each zone of the wood, mixed by the figure. Values are the display's
 * linear ones; there is no tone curve. A shading brings ``shade``, which reads its table of coefficients.
 */
import { figureGlsl } from "./figure.js";

export const vertexShader = /* glsl */ `
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
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;

/** @param {string} shadeGlsl defines shade() @param {string[]} words surface words by id */
export function fragmentShader(shadeGlsl, words) {
  const ids = words.map((word, id) => `#define ${word.toUpperCase()} ${id}`).join("\n");
  return /* glsl */ `
precision highp float;
precision highp sampler2D;
${ids}
#define WORDS ${words.length}
in vec3 vPoint;
in vec3 vPlace;
flat in vec3 vNormal;
flat in float vSurface;
flat in float vSlat;
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
  pixel = vec4(mix(early, late, mask), 1.0);
}
`;
}

export const lampVertex = /* glsl */ `
void main() {
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
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
