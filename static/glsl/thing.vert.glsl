// A crossing of a grey thing's grid with what it sends out, at the frame's place in the reconstruction filter.
uniform highp sampler2DArray thingsTable;
uniform vec2 even;
out vec3 vLight;
void main() {
  ivec2 size = textureSize(thingsTable, 0).xy;
  vLight = texelFetch(thingsTable, ivec3(gl_VertexID % size.x, gl_VertexID / size.x, 0), 0).rgb;
  gl_Position = projectionMatrix * viewMatrix * vec4(position, 1.0);
  gl_Position.xy += even * gl_Position.w;
}
