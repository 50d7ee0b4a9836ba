// What a point sends out in each zone of the wood, mixed by the figure: the display's linear values, no tone curve.
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
  pixel = vec4(zone[0], 1.0 - 0.5 * vSoft);
}
