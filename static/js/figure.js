/**
 * The figure of the wood in the orbit view: each slat is cut from a virtual board with growth rings, so that front,
 * sides and ends belong together and no two slats repeat. Where a ring is finer than a pixel the mask fades to its
 * mean, so that nothing shimmers.
 */
export const figureGlsl = /* glsl */ `
uniform float lateShare;
uniform float boardSeed;
uniform float runAlongY;

float chance(float n) {
  return fract(sin(n * 12.9898 + boardSeed * 78.233) * 43758.5453);
}

float swell(float at, float n) {
  float i = floor(at);
  float f = fract(at);
  return mix(chance(i + n), chance(i + 1.0 + n), f * f * (3.0 - 2.0 * f)) - 0.5;
}

float lateWood(vec3 p, float slat) {
  float along = mix(p.y, p.x, runAlongY);
  float across = mix(p.x, p.y, runAlongY);
  float n = slat * 17.0;
  vec2 pith = vec2((chance(n + 1.0) - 0.5) * 0.16, 0.03 + 0.10 * chance(n + 2.0));
  vec2 cut = vec2(mod(across, 0.9) - 0.45 * chance(n + 3.0), p.z) - pith;
  float radius = length(cut) + 0.006 * swell(along * 1.3, n) + 0.0016 * swell(along * 7.0, n + 5.0);
  float ring = 0.0032 * (0.75 + 0.5 * chance(floor(radius / 0.009) + n));
  float phase = fract(radius / ring);
  float wide = fwidth(radius / ring);
  float soft = 0.18;
  float mask = smoothstep(1.0 - lateShare - soft, 1.0 - lateShare + soft, phase);
  return mix(mask, lateShare, smoothstep(0.35, 1.0, wide));
}
`;
