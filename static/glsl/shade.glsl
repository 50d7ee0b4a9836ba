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

vec2 onPlane(vec3 normal, vec3 p) {
  return abs(normal.x) > 0.7 ? p.yz : abs(normal.y) > 0.7 ? p.xz : p.xy;
}

bool covers(int chart, vec2 q) {
  vec4 span = spans[chart];
  return all(greaterThan(q, span.xz - 1e-3)) && all(lessThan(q, span.yw + 1e-3));
}

void chartLight(int chart, vec2 q, int paint, out vec3 zone[3]) {
  vec3 layers = texelFetch(chartLayers, ivec2(paint, chart), 0).rgb;
  vec4 span = spans[chart];
  vec2 at = vec2(lineAt(2 * chart + 1, span.zw, q.y), lineAt(2 * chart, span.xy, q.x));
  zone[0] = tableLight(at, layers.x);
  zone[1] = layers.y == layers.x ? zone[0] : tableLight(at, layers.y);
  zone[2] = layers.z == layers.y ? zone[1] : tableLight(at, layers.z);
}

// where a point finds its light: a chart and a place on it, or a place in a table of the gaps and the step from zone to
// zone there. A point is placed first and its light read once: some graphics take every branch that any pixel takes.
struct Place { int chart; vec3 at; float zone; };
const int NOWHERE = -1;
const int SIDES = -2;
const int BASE = -3;

// a chart that faces as the point does and holds it, of those from one number to another
Place charted(int first, int end, vec3 p, vec3 n, float off) {
  for (int chart = first; chart < end; chart++) {
    vec4 faces = facing[chart];
    if (dot(faces.xyz, n) < 0.7 || abs(dot(abs(faces.xyz), p) - faces.w) > off) continue;
    vec2 q = onPlane(faces.xyz, p);
    if (covers(chart, q)) return Place(chart, vec3(q, 0.0), 0.0);
  }
  return Place(NOWHERE, vec3(0.0), 0.0);
}

Place gapped(int wall, vec3 p, vec3 n, bool side) {
  vec2 gap = gaps[wall];
  float inner = p.x + (side ? sign(n.x) * gap.x / 4.0 : 0.0);
  float left = gapLeft(wall, inner);
  float offset = inner - left;
  if (gap.y == 0.0 || offset < -1e-4 || offset > gap.x + 1e-4) return Place(NOWHERE, vec3(0.0), 0.0);
  vec3 at = vec3(0.0, wallLine(wall, 1, p.y), wallLine(wall, 0, left + gap.x / 2.0));
  at.z += stations[2 * wall + int(!side)];
  if (!side) return Place(BASE, at + vec3(wallLine(wall, 3, offset), 0.0, 0.0), 0.0);
  float many = nodes[wall].x;
  at.x = wallLine(wall, 2, fronts[wall] - p.z) + (n.x > 0.0 ? 0.0 : many);
  return Place(SIDES, at, 2.0 * many);
}

// all of a wall but its gaps, in its frame
Place outside(int wall, vec3 p, vec3 n) {
  ivec4 first = firsts[wall];
  int front = wall > 0 ? firsts[wall - 1].w : 0;
  ivec2 these = first.zw;
  float off = ON_EDGE_M;
  if (n.z > 0.7) {
    bool beyond = any(lessThan(p.xy, body[wall].xy - 5e-4)) || any(greaterThan(p.xy, body[wall].zw + 5e-4));
    off = beyond ? FAR_M : IN_PLANE_M;
    these = p.z < fronts[wall] - BEHIND_M ? first.yz : ivec2(0);
  } else front += n.x > 0.7 ? 1 : n.x < -0.7 ? 2 : n.y > 0.7 ? 3 : 4;
  Place found = charted(these.x, these.y, p, n, off);
  if (found.chart == NOWHERE) return Place(front, vec3(p.xy, 0.0), 0.0);
  return found;
}

// on the nearest of the room's charts that faces as the point does, in the first wall's frame
Place inRoom(vec3 p, vec3 n) {
  Place found = Place(NOWHERE, vec3(0.0), 0.0);
  float nearest = FAR_M;
  for (int chart = ROOM_FIRST; chart < CHARTS; chart++) {
    vec4 faces = facing[chart];
    if (dot(faces.xyz, n) < 0.7) continue;
    vec2 q = onPlane(faces.xyz, p);
    vec2 past = max(max(spans[chart].xz - q, q - spans[chart].yw), 0.0);
    float away = abs(dot(abs(faces.xyz), p) - faces.w) + past.x + past.y;
    if (away >= nearest) continue;
    nearest = away;
    found = Place(chart, vec3(q, 0.0), 0.0);
  }
  return found;
}

// wall : whose the point is, of no account for the room
Place placed(int wall, vec3 world, vec3 normal, int paint) {
  int owner = wall;
  if (paint >= ROOM_FLOOR && paint <= ROOM_WALLS) {
    owner = NOWHERE;
    for (int own = 0; own < WALLS && owner == NOWHERE; own++) {
      vec3 p = pointAt(own, world);
      bool off = any(lessThan(p.xy, box[own].xy - REACH_M)) || any(greaterThan(p.xy, box[own].zw + REACH_M));
      if (turned(own, normal).z >= 0.7 && abs(p.z) <= REACH_M && !off) owner = own;
    }
  }
  if (owner != NOWHERE) {
    vec3 p = pointAt(owner, world);
    vec3 n = turned(owner, normal);
    bool side = paint == SLAT_SIDE;
    if (side || paint == FABRIC && n.z > 0.7) {
      Place found = gapped(owner, p, n, side);
      if (found.chart != NOWHERE) return found;
    }
    return outside(owner, p, n);
  }
  for (int beside = 0; beside < WALLS; beside++) {
    vec3 p = pointAt(beside, world);
    vec3 n = turned(beside, normal);
    if (p.z <= 0.0 || p.z >= fronts[beside]) continue;
    Place found = charted(firsts[beside].x, firsts[beside].y, p, n, ON_EDGE_M);
    if (found.chart == NOWHERE && paint == ROOM_WALLS && abs(n.x) > 0.7) found = gapped(beside, p, n, true);
    if (found.chart != NOWHERE) return found;
  }
  return inRoom(pointAt(0, world), turned(0, normal));
}

// what a place sends out as early wood, late wood and knot
void lightAt(Place place, int paint, out vec3 zone[3]) {
  zone[0] = zone[1] = zone[2] = vec3(0.0);
  if (place.chart >= 0) chartLight(place.chart, place.at.xy, paint, zone);
  else if (place.chart == BASE) zone[0] = zone[1] = zone[2] = gapLight(baseTable, place.at);
  else if (place.chart == SIDES)
    for (int k = 0; k < 3; k++) zone[k] = gapLight(sidesTable, place.at + vec3(float(k) * place.zone, 0.0, 0.0));
}
