// What a point sends out in each zone of the wood, mixed by the figure: the display's linear values, no tone curve.
uniform sampler2D gloss;       // what the coat mirrors on the plane of the fronts, see gloss.glsl
uniform float coatBody[50];    // share of the wood's own light that comes out, by the cosine to the normal
in vec3 vPoint;
in vec3 vPlace;
flat in vec3 vNormal;
flat in float vPaint;
flat in float vSlat;
in float vSoft;
out vec4 pixel;
void main() {
  int paint = int(vPaint + 0.5);
  vec3 dx = dFdx(vPlace) * footprint;
  vec3 dy = dFdy(vPlace) * footprint;
  vec3 zone[3];
  shade(vPoint, vNormal, paint, zone);
  if (paint <= SLAT_END) {
    vec2 mask = wood(vPlace, int(vSlat + 0.5), dx, dy);
    zone[0] = mix(mix(zone[0], zone[1], mask.x), zone[2], mask.y);
  }
  if (coat.x > 0.0 && (paint <= SLAT_SIDE || paint == TRIM)) {
    float steep = clamp((dot(normalize(cameraPosition - vPoint), vNormal) - 0.02) / 0.98, 0.0, 0.99999) * 49.0;
    int step = int(steep);
    zone[0] *= mix(coatBody[step], coatBody[step + 1], steep - float(step));
    vec2 at = level > 0.5 ? vPoint.yx : vPoint.xy;
    if (paint != SLAT_SIDE && vNormal.z > 0.7 && abs(vPoint.z - planes.y) < 2.5e-3)
      zone[0] += texture(gloss, (at - body.xy) / (body.zw - body.xy)).rgb;
  }
  pixel = vec4(zone[0], 1.0 - 0.5 * vSoft);
}
