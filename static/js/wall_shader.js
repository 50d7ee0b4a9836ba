/**
 * The wall's shader: basis functions of the light at a point, times coefficients of the finish, the two zones of the
 * wood mixed by the figure. Scene-linear out; exposure is one factor, there is no tone curve.
 */
import { figureGlsl } from "./figure.js";

export const vertexShader = /* glsl */ `
in float surface;
in float slat;
out vec3 vPoint;
out vec3 vNormal;
flat out float vSurface;
flat out float vSlat;
void main() {
  vPoint = position;
  vNormal = normal;
  vSurface = surface;
  vSlat = slat;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}
`;

/** @param {string} basisGlsl defines basis() @param {number} count of basis functions @param {string[]} words */
export function fragmentShader(basisGlsl, count, words) {
  const ids = words.map((word, id) => `#define ${word.toUpperCase()} ${id}`).join("\n");
  return /* glsl */ `
precision highp float;
precision highp sampler2D;
${ids}
in vec3 vPoint;
in vec3 vNormal;
flat in float vSurface;
flat in float vSlat;
uniform sampler2D coefficients; // ${count} wide, 2 zones of ${words.length} surfaces high
uniform float exposure;
out vec4 pixel;
${basisGlsl}
${figureGlsl}
void main() {
  int surface = int(vSurface + 0.5);
  float b[${count}];
  basis(vPoint, vNormal, surface, b);
  float late = surface <= SLAT_END ? lateWood(vPoint, vSlat) : 0.0;
  vec3 early_rgb = vec3(0.0);
  vec3 late_rgb = vec3(0.0);
  for (int k = 0; k < ${count}; k++) {
    early_rgb += b[k] * texelFetch(coefficients, ivec2(k, surface), 0).rgb;
    late_rgb += b[k] * texelFetch(coefficients, ivec2(k, surface + ${words.length}), 0).rgb;
  }
  pixel = vec4(exposure * mix(early_rgb, late_rgb, late), 1.0);
}
`;
}
