// What a point sends out in each zone of the wood, mixed by the figure: the display's linear values, no tone curve.
uniform sampler2D gloss;       // what the coat mirrors on the planes of the fronts, wall above wall, see gloss.glsl
uniform float coatBody[50];    // share of the wood's own light that comes out, by the cosine to the normal
in vec3 vPoint;
in vec3 vPlace;
flat in vec3 vNormal;
flat in float vPaint;
flat in float vSlat;
flat in float vWall;
in float vSoft;
out vec4 pixel;
void main() {
  int paint = int(vPaint + 0.5);
  vec3 dx = dFdx(vPlace) * footprint;
  vec3 dy = dFdy(vPlace) * footprint;
  vec3 zone[3];
  int wall = max(int(vWall + 0.5), 0);
  lightAt(placed(wall, vPoint, vNormal, paint), paint, zone);
  if (paint <= SLAT_END) {
    vec2 mask = wood(vPlace, int(vSlat + 0.5), dx, dy);
    zone[0] = mix(mix(zone[0], zone[1], mask.x), zone[2], mask.y);
  }
  if (coat.x > 0.0 && (paint <= SLAT_SIDE || paint == TRIM)) {
    float steep = clamp((dot(normalize(cameraPosition - vPoint), vNormal) - 0.02) / 0.98, 0.0, 0.99999) * 49.0;
    int step = int(steep);
    zone[0] *= mix(coatBody[step], coatBody[step + 1], steep - float(step));
    vec3 p = pointAt(wall, vPoint);
    if (paint != SLAT_SIDE && turned(wall, vNormal).z > 0.7 && abs(p.z - fronts[wall]) < 2.5e-3) {
      vec2 at = (p.xy - body[wall].xy) / (body[wall].zw - body[wall].xy);
      float inside = 0.5 * float(WALLS) / float(textureSize(gloss, 0).y);
      at.y = (float(wall) + clamp(at.y, inside, 1.0 - inside)) / float(WALLS);
      zone[0] += texture(gloss, at).rgb;
    }
  }
  pixel = vec4(zone[0], 1.0 - 0.5 * vSoft);
}
