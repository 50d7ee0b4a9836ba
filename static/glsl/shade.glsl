// Where a point finds its light: plane charts, each with grid lines of its own (of each wall the plane of the slats'
// fronts, what stands square to it, strips of the room's faces beside the body, the wall beside the body and the
// bottoms of its openings, the body's outer edges; then the room's other faces), the sides of the gaps, and their base.
// Every wall's stand in its own frame, the room's in the first wall's. The rules are those of meshes/light/lookup.py.
// Defined by the page: LINE_STEPS, WALLS, ROOM_FIRST, CHARTS.

#define BEHIND_M 1.5e-3
#define ON_EDGE_M 2e-3
#define IN_PLANE_M 1e-3
#define REACH_M 0.05
#define FAR_M 1e3
uniform highp sampler2D lines; // 2 rows a chart; across, along, side, base, gaps of each wall; its gaps' left edges
uniform vec4 spans[CHARTS];    // first and last of a chart's lines, u then v
uniform vec2 gapSpans[5 * WALLS];
uniform highp sampler2D chartLayers; // by paint and chart: layers of early wood, late wood and knots
uniform highp sampler2DArray chartTable;
uniform highp sampler3D sidesTable; // wall after wall
uniform highp sampler3D baseTable;
uniform float stations[2 * WALLS];  // where a wall's begin in both
uniform vec4 facing[CHARTS];  // normal, and where a chart lies along its axis
uniform ivec4 firsts[WALLS];  // first chart of strips, recess and edges, and the end of the wall's
uniform mat4 lightFromWorld[WALLS];
uniform vec2 gaps[WALLS];     // width, count
uniform float fronts[WALLS];  // z of the fronts
uniform vec2 nodes[WALLS];    // of one side, of the base
uniform vec4 body[WALLS];     // lowest a, b and highest a, b of what stands out as far as the slats
uniform vec4 box[WALLS];      // the same of the wall, from corner to corner
uniform vec3 coat;            // reflectance straight on, width of the slopes, share that is scattered evenly

vec3 pointAt(int wall, vec3 world) { return (lightFromWorld[wall] * vec4(world, 1.0)).xyz; }
vec3 turned(int wall, vec3 world) { return mat3(lightFromWorld[wall]) * world; }

float lineAt(int row, vec2 range, float at) {
  float t = clamp((at - range.x) / (range.y - range.x), 0.0, 1.0) * float(LINE_STEPS - 1);
  int i = min(int(t), LINE_STEPS - 2);
  float low = texelFetch(lines, ivec2(i, row), 0).r;
  return mix(low, texelFetch(lines, ivec2(i + 1, row), 0).r, t - float(i));
}

float wallLine(int wall, int which, float at) {
  return lineAt(2 * CHARTS + 5 * wall + which, gapSpans[5 * wall + which], at);
}

float gapEdge(int wall, int number) {
  int row = 2 * CHARTS + 5 * WALLS + wall;
  return texelFetch(lines, ivec2(clamp(number, 0, int(gaps[wall].y) - 1), row), 0).r;
}

// left edge of the gap at or before a place
float gapLeft(int wall, float at) {
  int number = int(wallLine(wall, 4, at));
  float left = gapEdge(wall, number);
  if (at < left) return gapEdge(wall, number - 1);
  float next = gapEdge(wall, number + 1);
  return at >= next ? next : left;
}

vec3 gapLight(sampler3D table, vec3 at) {
  return texture(table, (at + 0.5) / vec3(textureSize(table, 0))).rgb;
}

vec3 tableLight(vec2 at, float layer) {
  return texture(chartTable, vec3((at + 0.5) / vec2(textureSize(chartTable, 0).xy), layer)).rgb;
}

void chartLight(int chart, vec2 q, int paint, out vec3 zone[3]) {
  vec3 layers = texelFetch(chartLayers, ivec2(paint, chart), 0).rgb;
  vec4 span = spans[chart];
  vec2 at = vec2(lineAt(2 * chart + 1, span.zw, q.y), lineAt(2 * chart, span.xy, q.x));
  zone[0] = tableLight(at, layers.x);
  zone[1] = layers.y == layers.x ? zone[0] : tableLight(at, layers.y);
  zone[2] = layers.z == layers.y ? zone[1] : tableLight(at, layers.z);
}

vec2 onPlane(vec3 normal, vec3 p) {
  return abs(normal.x) > 0.7 ? p.yz : abs(normal.y) > 0.7 ? p.xz : p.xy;
}

bool covers(int chart, vec2 q) {
  vec4 span = spans[chart];
  return all(greaterThan(q, span.xz - 1e-3)) && all(lessThan(q, span.yw + 1e-3));
}

// light of a chart that faces as the point does and holds it, of those from one number to another
bool charted(int first, int end, vec3 p, vec3 n, float off, int paint, inout vec3 zone[3]) {
  for (int chart = first; chart < end; chart++) {
    vec4 faces = facing[chart];
    if (dot(faces.xyz, n) < 0.7 || abs(dot(abs(faces.xyz), p) - faces.w) > off) continue;
    vec2 q = onPlane(faces.xyz, p);
    if (!covers(chart, q)) continue;
    chartLight(chart, q, paint, zone);
    return true;
  }
  return false;
}

bool gapped(int wall, vec3 p, vec3 n, bool side, inout vec3 zone[3]) {
  vec2 gap = gaps[wall];
  if (gap.y == 0.0) return false;
  float inner = p.x + (side ? sign(n.x) * gap.x / 4.0 : 0.0);
  float left = gapLeft(wall, inner);
  float offset = inner - left;
  if (offset < -1e-4 || offset > gap.x + 1e-4) return false;
  vec3 at = vec3(0.0, wallLine(wall, 1, p.y), wallLine(wall, 0, left + gap.x / 2.0));
  float many = nodes[wall].x;
  if (side) {
    at.z += stations[2 * wall];
    at.x = wallLine(wall, 2, fronts[wall] - p.z) + (n.x > 0.0 ? 0.0 : many);
    for (int k = 0; k < 3; k++, at.x += 2.0 * many) zone[k] = gapLight(sidesTable, at);
  } else {
    at.z += stations[2 * wall + 1];
    at.x = wallLine(wall, 3, offset);
    zone[0] = zone[1] = zone[2] = gapLight(baseTable, at);
  }
  return true;
}

// all of a wall but its gaps, in its frame
void outside(int wall, vec3 p, vec3 n, int paint, out vec3 zone[3]) {
  ivec4 first = firsts[wall];
  int front = wall > 0 ? firsts[wall - 1].w : 0;
  if (n.z > 0.7) {
    bool beyond = any(lessThan(p.xy, body[wall].xy - 5e-4)) || any(greaterThan(p.xy, body[wall].zw + 5e-4));
    bool behind = p.z < fronts[wall] - BEHIND_M;
    if (behind && charted(first.y, first.z, p, n, beyond ? FAR_M : IN_PLANE_M, paint, zone)) return;
    chartLight(front, p.xy, paint, zone);
    return;
  }
  if (charted(first.z, first.w, p, n, ON_EDGE_M, paint, zone)) return;
  int square = n.x > 0.7 ? 1 : n.x < -0.7 ? 2 : n.y > 0.7 ? 3 : 4;
  chartLight(front + square, p.xy, paint, zone);
}

// the nearest of the room's charts that faces as the point does, in the first wall's frame
void roomLight(vec3 p, vec3 n, int paint, out vec3 zone[3]) {
  int found = -1;
  float nearest = FAR_M;
  zone[0] = zone[1] = zone[2] = vec3(0.0);
  for (int chart = ROOM_FIRST; chart < CHARTS; chart++) {
    vec4 faces = facing[chart];
    if (dot(faces.xyz, n) < 0.7) continue;
    vec2 q = onPlane(faces.xyz, p);
    vec2 past = max(max(spans[chart].xz - q, q - spans[chart].yw), 0.0);
    float away = abs(dot(abs(faces.xyz), p) - faces.w) + past.x + past.y;
    if (away >= nearest) continue;
    nearest = away;
    found = chart;
  }
  if (found >= 0) chartLight(found, onPlane(facing[found].xyz, p), paint, zone);
}

// what a point sends out as early wood, late wood and knot; wall : whose it is, of no account for the room
void shade(int wall, vec3 world, vec3 normal, int paint, out vec3 zone[3]) {
  if (paint < ROOM_FLOOR || paint > ROOM_WALLS) {
    vec3 p = pointAt(wall, world);
    vec3 n = turned(wall, normal);
    if (paint == SLAT_SIDE && gapped(wall, p, n, true, zone)) return;
    if (paint == FABRIC && n.z > 0.7 && gapped(wall, p, n, false, zone)) return;
    outside(wall, p, n, paint, zone);
    return;
  }
  for (int own = 0; own < WALLS; own++) {
    vec3 p = pointAt(own, world);
    if (turned(own, normal).z < 0.7 || abs(p.z) > REACH_M) continue;
    if (any(lessThan(p.xy, box[own].xy - REACH_M)) || any(greaterThan(p.xy, box[own].zw + REACH_M))) continue;
    outside(own, p, turned(own, normal), paint, zone);
    return;
  }
  for (int beside = 0; beside < WALLS; beside++) {
    vec3 p = pointAt(beside, world);
    vec3 n = turned(beside, normal);
    if (p.z <= 0.0 || p.z >= fronts[beside]) continue;
    if (charted(firsts[beside].x, firsts[beside].y, p, n, ON_EDGE_M, paint, zone)) return;
    if (paint == ROOM_WALLS && abs(n.x) > 0.7 && gapped(beside, p, n, true, zone)) return;
  }
  roomLight(pointAt(0, world), turned(0, normal), paint, zone);
}
