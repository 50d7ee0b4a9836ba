// Between the crossings of a grey thing's grid.
in vec3 vLight;
out vec4 pixel;
void main() { pixel = vec4(vLight, 1.0); }
