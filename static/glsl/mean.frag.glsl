// The mean of all frames so far and the next one.
uniform sampler2D before;
uniform sampler2D frame;
uniform float share;
out vec4 pixel;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  pixel = mix(texelFetch(before, at, 0), texelFetch(frame, at, 0), share);
}
