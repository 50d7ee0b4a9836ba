// The reconstruction filter is the stills' (meshes/stills/sampling.py): a frame is drawn at one place in it, "even" in a
// filter of one pixel and "wide" in one of three, which slats or gaps narrower than two pixels get across them.
uniform vec2 even;
uniform vec2 wide;
uniform float focal;   // pixels
uniform float finest;  // narrower of slat and gap [m]
uniform float upright;
out float vSoft;
in vec4 facing;  // 127 times the normal, paint
in vec2 slat;    // its number, and its wall's
in vec3 place;
out vec3 vPoint;
out vec3 vPlace;
flat out vec3 vNormal;
flat out float vPaint;
flat out float vSlat;
void main() {
  vPoint = position;
  vPlace = place;
  vNormal = facing.xyz / 127.0;
  vPaint = facing.w;
  vSlat = slat.x;
  vec4 seen = viewMatrix * vec4(position, 1.0);
  vSoft = 0.0;
  if (slat.y >= 0.0) {
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
