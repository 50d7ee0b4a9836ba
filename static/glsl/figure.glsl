// The figure of the wood: the formula of the server's stills (meshes/grain.py), number for number. Every slat is cut
// from its own virtual stem; a pixel shows the mean of the rings that it covers, so fine rings fade without beating.
// place is in millimetres across the slat, out of its back and along it; stems holds 16 numbers a slat.

uniform highp sampler2D stems;  // 4 texels a row: pith slope | taper ring start wave | wave phase warp | warp share key front
uniform vec4 growth;            // blend, streak, width and length of streaks [mm]
uniform vec3 knots;             // share of lengths that hold one, smallest and largest radius [mm]
uniform float footprint;        // part of a pixel that one frame stands for
const float TAU = 6.283185307;
const float KNOT_SPACING = 420.0;

float hashed(float key, float cell, uint salt) {
  uint mixed = uint(int(key)) * 0x9E3779B1u + uint(int(cell)) * 0x85EBCA77u + salt * 0x27D4EB2Fu;
  mixed ^= mixed >> 15;
  mixed *= 0x2C1B3C6Du;
  mixed ^= mixed >> 12;
  mixed *= 0x297A2D39u;
  mixed ^= mixed >> 15;
  return float(mixed >> 8) / 16777216.0;
}

// x: how far in a knot; yz: how far wood was pushed aside, across and out
vec3 knotAt(vec3 place, vec2 pith, float key, float front) {
  if (knots.x == 0.0) return vec3(0.0);
  float cell = floor(place.z / KNOT_SPACING);
  float chance = hashed(key, cell, 1u);
  float middle = (cell + 0.25 + 0.5 * hashed(key, cell, 2u)) * KNOT_SPACING;
  vec2 aim = vec2((hashed(key, cell, 3u) - 0.5) * 50.0, front) - pith;
  float size = hashed(key, cell, 4u);
  float reach = length(aim);
  vec2 d = place.xy - pith;
  float outward = dot(d, aim) / reach;
  float aside = (d.x * aim.y - d.y * aim.x) / reach;
  float up = place.z - middle - 0.35 * (outward - reach);
  float radius = mix(knots.y, knots.z, size * size) * clamp(outward / reach, 0.05, 1.3);
  float distance = sqrt(aside * aside + 0.64 * up * up) / radius;
  if (chance >= knots.x || outward <= 0.0) return vec3(0.0);
  float near = max(1.0 - (aside * aside + 0.15 * up * up) / (9.0 * radius * radius), 0.0);
  float push = clamp(1.4 * aside, -radius, radius) * near * near / reach;
  return vec3(clamp((1.15 - distance) / 0.3, 0.0, 1.0), push * aim.y, -push * aim.x);
}

float ringIntegral(float ring, float share, float blend) {
  float whole = floor(ring);
  float inside = ring - whole;
  float t = clamp((inside - (1.0 - share) + blend) / (2.0 * blend), 0.0, 1.0);
  return whole * share + 2.0 * blend * (t * t * t - t * t * t * t / 2.0)
    + max(inside - (1.0 - share) - blend, 0.0);
}

float grown(float count, vec2 warp) {
  return count + 0.35 * sin(TAU * (count / 7.3 + warp.x)) + 0.16 * sin(TAU * (count / 2.9 + warp.y));
}

float streakAt(vec3 place, float key, vec3 dx, vec3 dy) {
  float u = (0.83 * place.x + 1.21 * place.y) / growth.z;
  float v = place.z / growth.w;
  float column = floor(u);
  float row = floor(v);
  float a = u - column;
  float b = v - row;
  b = b * b * (3.0 - 2.0 * b);
  float cell = row * 4096.0 + column;
  float value = mix(mix(hashed(key, cell, 9u), hashed(key, cell + 1.0, 9u), a),
    mix(hashed(key, cell + 4096.0, 9u), hashed(key, cell + 4097.0, 9u), a), b);
  float size = (abs(dx.x * 0.83 + dx.y * 1.21) + abs(dy.x * 0.83 + dy.y * 1.21)) / growth.z;
  return (2.0 * value - 1.0) / (1.0 + size * size);
}

// shares of late wood in what is no knot, and of knots
vec2 wood(vec3 place, int slat, vec3 dx, vec3 dy) {
  vec4 s0 = texelFetch(stems, ivec2(0, slat), 0);
  vec4 s1 = texelFetch(stems, ivec2(1, slat), 0);
  vec4 s2 = texelFetch(stems, ivec2(2, slat), 0);
  vec4 s3 = texelFetch(stems, ivec2(3, slat), 0);
  float share = s3.y;
  vec3 knot = knotAt(place, s0.xy, s3.z, s3.w);
  float along = place.z;
  float angle1 = TAU * (along * s1.w + s2.y);
  float angle2 = TAU * (along * s2.x + s2.z);
  vec2 d = place.xy - knot.yz - s0.xy - s0.zw * along
    - vec2(2.4 * sin(angle1) + 0.4 * sin(angle2), 0.5 * sin(angle2) + 2.0 * cos(angle1));
  float radius = length(d) + 1e-3;
  float count = (radius + s1.x * along) / s1.y + s1.z;
  vec2 rate = -s0.zw - TAU * vec2(2.4 * cos(angle1) * s1.w + 0.4 * cos(angle2) * s2.x,
    0.5 * cos(angle2) * s2.x - 2.0 * sin(angle1) * s1.w);
  vec3 gradient = vec3(d / radius, s1.x + dot(d, rate) / radius) / s1.y;
  float covered = length(vec2(dot(dx, gradient), dot(dy, gradient)));
  float blend = growth.x * min(share, 1.0 - share);
  float reach = max(covered, 0.02) / 2.0;
  vec2 warp = vec2(s2.w, s3.x);
  float streak = streakAt(place, s3.z, dx, dy);
  count += 0.7 * growth.y * growth.y * streak;
  float lower = grown(count - reach, warp);
  float upper = grown(count + reach, warp);
  float late = clamp((ringIntegral(upper, share, blend) - ringIntegral(lower, share, blend)) / (upper - lower), 0.0, 1.0);
  late = share + (late - share)
    * (0.8 + 0.12 * sin(TAU * (count / 5.3 + warp.y)) + 0.08 * sin(TAU * (count / 1.9 + warp.x)));
  float room = growth.y * (share + (1.0 - 2.0 * share) * late);
  late += growth.y * (share - late) + room * streak;
  return vec2(late, knot.x);
}
