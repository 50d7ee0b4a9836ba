// What the clear coat mirrors on the planes of the slats' fronts, on a small table over each, for the place of the eye:
// the lamps in closed form, the room through some facets. The rules are those of meshes/stills/coating.py and gloss.py.
uniform vec3 eye;
uniform vec2 size;                       // of one table
uniform float farther[WALLS];            // z of the room's far wall
uniform float up[WALLS];                 // which axis is upright: 1 the first, 0 the second
uniform vec3 corners[4 * MOST_LAMPS];
uniform vec3 shine[MOST_LAMPS];
uniform int lampCount;
out vec4 pixel;

const float PI = 3.14159265;
const int FACETS = 24;

float fresnel(float c) {
  float root = sqrt(coat.x);
  float index = (1.0 + root) / (1.0 - root);
  float g = sqrt(index * index - 1.0 + c * c);
  float across = (g - c) / (g + c);
  float along = (c * (g + c) - 1.0) / (c * (g - c) + 1.0);
  return 0.5 * across * across * (1.0 + along * along);
}

float shadowing(float c) {
  return (sqrt(1.0 + coat.y * coat.y * (1.0 - c * c) / max(c * c, 1e-6)) - 1.0) / 2.0;
}

float weight(vec3 v, vec3 l) {
  vec3 h = normalize(v + l);
  float across = clamp(dot(v, h), 0.0, 1.0);
  float nv = max(v.z, 1e-4);
  float both = 1.0 / (1.0 + shadowing(nv) + shadowing(max(l.z, 1e-4)));
  return fresnel(across) * both * across / (nv * max(h.z, 1e-4)) * (1.0 - coat.z);
}

vec3 slope(vec3 corner, vec3 p, vec3 v) {
  vec3 h = normalize(corner - p) + v;
  return vec3(h.xy / (coat.y * max(h.z, 1e-9)), 1.0);
}

float edge(vec3 a, vec3 b) {
  vec3 c = cross(a, b);
  float l = length(c);
  return l > 1e-20 ? atan(l, dot(a, b)) / l * c.z / (2.0 * PI) : 0.0;
}

// where on a cell the lobe about the mirror's ray is strongest
vec3 nearest(vec3 middle, vec3 first, vec3 second, vec3 p, vec3 mirror) {
  vec2 sides = vec2(length(first), length(second));
  vec3 a = first / sides.x;
  vec3 b = second / sides.y;
  vec3 n = cross(a, b);
  float away = dot(middle - p, n);
  float slant = dot(mirror, n);
  vec2 at = vec2(0.0);
  if (away * slant > 1e-9) {
    vec3 off = p + away / slant * mirror - middle;
    at = clamp(vec2(dot(off, a), dot(off, b)), -sides / 2.0, sides / 2.0);
  }
  at *= 1.0 - clamp(2.0 * coat.y * length(middle - p) / max(sides.x, sides.y), 0.0, 1.0);
  return normalize(middle + at.x * a + at.y * b - p);
}

vec3 lamps(int wall, vec3 p, vec3 v) {
  vec3 mirror = v * vec3(-1.0, -1.0, 1.0);
  vec3 sum = vec3(0.0);
  for (int lamp = 0; lamp < lampCount; lamp++) {
    vec3 start = pointAt(wall, corners[4 * lamp]);
    vec3 first = pointAt(wall, corners[4 * lamp + 1]) - start;
    vec3 second = pointAt(wall, corners[4 * lamp + 3]) - start;
    // a frame that mirrors turns corners the other way
    if (dot(p - start, cross(first, second)) * determinant(mat3(lightFromWorld[wall])) <= 0.0) continue;
    float cell = 0.5 * max(start.z + (first.z + second.z) / 2.0 - p.z, 0.1);
    vec2 count = clamp(ceil(vec2(length(first), length(second)) / cell), 1.0, 8.0);
    first /= count.x;
    second /= count.y;
    float seen = 0.0;
    for (float i = 0.0; i < count.x; i++) {
      for (float j = 0.0; j < count.y; j++) {
        vec3 c = start + i * first + j * second;
        vec3 s0 = slope(c, p, v);
        vec3 s1 = slope(c + first, p, v);
        vec3 s2 = slope(c + first + second, p, v);
        vec3 s3 = slope(c + second, p, v);
        float share = abs(edge(s0, s1) + edge(s1, s2) + edge(s2, s3) + edge(s3, s0));
        vec3 l = nearest(c + (first + second) / 2.0, first, second, p, mirror);
        if (l.z > 0.0) seen += share * weight(v, l);
      }
    }
    sum += seen * shine[lamp];
  }
  return sum;
}

vec3 room(int wall, vec3 p, vec3 v) {
  vec4 walls = box[wall];
  bool level = up[wall] > 0.5;
  mat3 back = transpose(mat3(lightFromWorld[wall]));
  vec3 sum = vec3(0.0);
  for (int k = 0; k < FACETS; k++) {
    float share = (float(k) + 0.5) / float(FACETS);
    float radius = coat.y * sqrt(share / (1.0 - share));
    float turn = float(k) * PI * (3.0 - sqrt(5.0));
    vec3 h = normalize(vec3(radius * cos(turn), radius * sin(turn), 1.0));
    vec3 l = 2.0 * dot(v, h) * h - v;
    if (dot(v, h) <= 0.0 || l.z <= 1e-4) continue;
    vec3 far = vec3(l.x > 0.0 ? walls.z : walls.x, l.y > 0.0 ? walls.w : walls.y, farther[wall]) - p;
    vec3 reach = far / mix(l, vec3(1e-9), lessThan(abs(l), vec3(1e-9)));
    float least = min(min(reach.x, reach.y), reach.z);
    vec3 n = vec3(0.0, 0.0, -1.0);
    int paint = ROOM_WALLS;
    if (reach.x == least) n = vec3(-sign(l.x), 0.0, 0.0);
    else if (reach.y == least) n = vec3(0.0, -sign(l.y), 0.0);
    float rise = level ? n.x : n.y;
    if (rise != 0.0) paint = rise < 0.0 ? ROOM_CEILING : ROOM_FLOOR;
    vec3 world = back * (p + l * least - lightFromWorld[wall][3].xyz);
    vec3 zone[3];
    lightAt(inRoom(pointAt(0, world), turned(0, back * n)), paint, zone);
    sum += weight(v, l) / float(FACETS) * zone[0];
  }
  return sum;
}

void main() {
  int wall = int(gl_FragCoord.y / size.y);
  vec2 at = vec2(gl_FragCoord.x, gl_FragCoord.y - float(wall) * size.y) / size;
  vec3 p = vec3(mix(body[wall].xy, body[wall].zw, at), fronts[wall]);
  vec3 v = normalize(pointAt(wall, eye) - p);
  pixel = vec4(v.z > 0.0 ? lamps(wall, p, v) + room(wall, p, v) : vec3(0.0), 1.0);
}
