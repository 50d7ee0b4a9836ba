// Linear light as a screen takes it (the curve of IEC 61966-2-1). Alpha says where a single frame is softened across
// the slats: 1 not at all, 1/2 wholly; 0 is left clear.
uniform sampler2D frame;
uniform ivec2 soft;  // step across the slats
out vec4 pixel;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  ivec2 last = textureSize(frame, 0) - 1;
  vec4 beside = texelFetch(frame, max(at - soft, 0), 0) + texelFetch(frame, min(at + soft, last), 0);
  vec4 mean = texelFetch(frame, at, 0);
  mean = mix(mean, 0.5 * mean + 0.25 * beside, 2.0 - 2.0 * mean.a);
  vec3 linear = clamp(mean.rgb, 0.0, 1.0);
  vec3 curved = 1.055 * pow(max(linear, vec3(0.0031308)), vec3(1.0 / 2.4)) - 0.055;
  pixel = vec4(mix(12.92 * linear, curved, step(0.0031308, linear)), 1.0) * step(0.01, mean.a);
}
