// A lamp shines on its face and is black behind.
uniform vec3 shine;
out vec4 pixel;
void main() { pixel = vec4(gl_FrontFacing ? shine : vec3(0.0), 1.0); }
