// The reconstruction filter is the stills' (meshes/stills/sampling.py): a frame is drawn at one place in it, "even" in a
// filter of one pixel and "wide" in one of three, which slats or gaps narrower than two pixels get across them.
uniform vec2 even;
uniform vec2 wide;
uniform float focal;   // pixels
uniform float finest;  // narrower of slat and gap [m]
uniform float upright;
uniform mat4 lightFromWorld[WALLS];
out float vSoft;
in vec4 facing;  // 127 times the normal, paint
in vec2 slat;    // its number, and its wall's
in vec3 place;
out vec3 vPoint;
out vec3 vPlace;
flat out vec3 vNormal;
flat out float vPaint;
flat out float vSlat;
flat out float vWall;
void main() {
  vPoint = position;
  vPlace = place;
  vNormal = facing.xyz / 127.0;
  vPaint = facing.w;
  vSlat = slat.x;
  vWall = slat.y;
  vec4 seen = viewMatrix * vec4(position, 1.0);
  vSoft = 0.0;
  vec2 soft = even;
  if (slat.y >= 0.0) {
    // one pixel on moves a ray by this across the slats in the plane of the fronts
    vec3 ray = position - cameraPosition;
    mat3 turn = transpose(mat3(viewMatrix));
    vec3 aside = upright > 0.5 ? turn[0] : turn[1];
    mat3 wall = transpose(mat3(lightFromWorld[int(slat.y + 0.5)]));
    vec3 across = wall[0];
    vec3 away = wall[2];
    float steep = dot(ray, across) / min(dot(ray, away), -1e-6);
    float moved = -seen.z / focal * abs(dot(aside, across) - steep * dot(aside, away));
    vSoft = clamp((4.0 - finest / max(moved, 1e-6)) / 2.0, 0.0, 1.0);
    soft = mix(even, wide, vSoft * (upright > 0.5 ? vec2(1.0, 0.0) : vec2(0.0, 1.0)));
    // moved in its own plane along the wall, so that what lies close before or behind it stays there
    vec3 n = mat3(viewMatrix) * away;
    vec2 on = -seen.z * (soft - even) / vec2(projectionMatrix[0][0], projectionMatrix[1][1]);
    float farther = dot(n, seen.xyz + vec3(on, 0.0)) / dot(n, seen.xyz);
    if (seen.z < 0.0 && farther > 0.5 && farther < 2.0) {
      seen.xyz = (seen.xyz + vec3(on, 0.0)) / farther;
      soft = even;
    }
  }
  gl_Position = projectionMatrix * seen;
  gl_Position.xy += soft * gl_Position.w;
}
