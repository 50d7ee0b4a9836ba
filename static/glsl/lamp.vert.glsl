// A lamp's face, at the frame's place in the reconstruction filter.
uniform vec2 even;
void main() {
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
  gl_Position.xy += even * gl_Position.w;
}
