// Where a point finds its light: plane charts, each with grid lines of its own (the plane of the slats' fronts over the
// whole wall, what stands square to it, the room's other faces and their strips beside the body, the wall beside the
// body and the bottoms of its openings, the body's outer edges), then the sides of the gaps, and their base. The rules
// are those of meshes/light/lookup.py.
// Defined by the page: LINE_STEPS, ROOM_FIRST, STRIPS_FIRST, RECESS_FIRST, EDGES_FIRST, CHARTS.

#define BEHIND_M 1.5e-3
#define ON_EDGE_M 2e-3
#define IN_PLANE_M 1e-3
#define FAR_M 1e3
uniform highp sampler2D lines;       // 2 rows a chart, then across, along, side, base, gaps; gaps' left edges
uniform vec2 lineRange[2 * CHARTS + 5];
uniform highp sampler2D chartLayers; // by paint and chart: layers of early wood, late wood and knots
uniform highp sampler2DArray chartTable;
uniform highp sampler3D sidesTable;
uniform highp sampler3D baseTable;
uniform vec3 normals[CHARTS];
uniform float heights[CHARTS]; // where each lies along its normal's axis
uniform float level;
uniform vec2 gaps;     // width, count
uniform vec2 planes;   // z of the fabric, z of the fronts
uniform vec2 nodes;    // of one side, of the base
uniform vec4 body;     // lowest a, b and highest a, b of what stands out as far as the slats
uniform vec4 box;      // the same of the room
uniform vec3 coat;      // reflectance straight on, width of the slopes, share that is scattered evenly

float lineAt(int row, float at) {
  vec2 range = lineRange[row];
  float t = clamp((at - range.x) / (range.y - range.x), 0.0, 1.0) * float(LINE_STEPS - 1);
  int i = min(int(t), LINE_STEPS - 2);
  float low = texelFetch(lines, ivec2(i, row), 0).r;
  return mix(low, texelFetch(lines, ivec2(i + 1, row), 0).r, t - float(i));
}

float gapEdge(int number) {
  return texelFetch(lines, ivec2(clamp(number, 0, int(gaps.y) - 1), 2 * CHARTS + 5), 0).r;
}

// left edge of the gap at or before a place
float gapLeft(float at) {
  int number = int(lineAt(2 * CHARTS + 4, at));
  float left = gapEdge(number);
  return at < left ? gapEdge(number - 1) : at >= gapEdge(number + 1) ? gapEdge(number + 1) : left;
}

vec3 gapLight(sampler3D table, vec3 at) {
  return texture(table, (at + 0.5) / vec3(textureSize(table, 0))).rgb;
}

vec3 tableLight(vec2 at, float layer) {
  return texture(chartTable, vec3((at + 0.5) / vec2(textureSize(chartTable, 0).xy), layer)).rgb;
}

void chartLight(int chart, vec2 q, int paint, out vec3 zone[3]) {
  vec3 layers = texelFetch(chartLayers, ivec2(paint, chart), 0).rgb;
  vec2 at = vec2(lineAt(2 * chart + 1, q.y), lineAt(2 * chart, q.x));
  zone[0] = tableLight(at, layers.x);
  zone[1] = layers.y == layers.x ? zone[0] : tableLight(at, layers.y);
  zone[2] = layers.z == layers.y ? zone[1] : tableLight(at, layers.z);
}

vec2 onPlane(vec3 normal, vec3 p) {
  return abs(normal.x) > 0.7 ? p.yz : abs(normal.y) > 0.7 ? p.xz : p.xy;
}

bool covers(int chart, vec2 q) {
  vec2 u = lineRange[2 * chart];
  vec2 v = lineRange[2 * chart + 1];
  return q.x > u.x - 1e-3 && q.x < u.y + 1e-3 && q.y > v.x - 1e-3 && q.y < v.y + 1e-3;
}

// light of a chart that faces as the point does and holds it, of those from one number to another
bool charted(int first, int end, vec3 p, vec3 n, float off, int paint, inout vec3 zone[3]) {
  for (int chart = first; chart < end; chart++) {
    vec3 faces = normals[chart];
    if (dot(faces, n) < 0.7 || abs(dot(abs(faces), p) - heights[chart]) > off) continue;
    vec2 q = onPlane(faces, p);
    if (!covers(chart, q)) continue;
    chartLight(chart, q, paint, zone);
    return true;
  }
  return false;
}

bool gapped(vec3 p, vec3 n, bool side, inout vec3 zone[3]) {
  if (gaps.y == 0.0) return false;
  float inner = p.x + (side ? sign(n.x) * gaps.x / 4.0 : 0.0);
  float left = gapLeft(inner);
  float offset = inner - left;
  if (offset < -1e-4 || offset > gaps.x + 1e-4) return false;
  vec3 at = vec3(0.0, lineAt(2 * CHARTS + 1, p.y), lineAt(2 * CHARTS, left + gaps.x / 2.0));
  if (side) {
    at.x = lineAt(2 * CHARTS + 2, planes.y - p.z) + (n.x > 0.0 ? 0.0 : nodes.x);
    for (int k = 0; k < 3; k++, at.x += 2.0 * nodes.x) zone[k] = gapLight(sidesTable, at);
  } else {
    at.x = lineAt(2 * CHARTS + 3, offset);
    zone[0] = zone[1] = zone[2] = gapLight(baseTable, at);
  }
  return true;
}

// what a point sends out as early wood, late wood and knot
void shade(vec3 world, vec3 worldNormal, int paint, out vec3 zone[3]) {
  vec3 p = level > 0.5 ? world.yxz : world;
  vec3 n = level > 0.5 ? worldNormal.yxz : worldNormal;
  bool outwards = n.z > 0.7;
  if (paint == SLAT_SIDE && gapped(p, n, true, zone)) return;
  if (paint == FABRIC && outwards && gapped(p, n, false, zone)) return;
  if (outwards) {
    bool beyond = any(lessThan(p.xy, body.xy - 5e-4)) || any(greaterThan(p.xy, body.zw + 5e-4));
    bool behind = p.z < planes.y - BEHIND_M;
    if (behind && charted(RECESS_FIRST, EDGES_FIRST, p, n, beyond ? FAR_M : IN_PLANE_M, paint, zone)) return;
    chartLight(0, p.xy, paint, zone);
    return;
  }
  if (paint >= ROOM_FLOOR && paint <= ROOM_WALLS) {
    if (p.z < planes.y) {
      if (charted(STRIPS_FIRST, RECESS_FIRST, p, n, ON_EDGE_M, paint, zone)) return;
      if (paint == ROOM_WALLS && abs(n.x) > 0.7 && gapped(p, n, true, zone)) return;
    }
    if (charted(ROOM_FIRST, STRIPS_FIRST, p, n, FAR_M, paint, zone)) return;
  }
  if (charted(EDGES_FIRST, CHARTS, p, n, ON_EDGE_M, paint, zone)) return;
  int chart = n.x > 0.7 ? 1 : n.x < -0.7 ? 2 : n.y > 0.7 ? 3 : 4;
  chartLight(chart, p.xy, paint, zone);
}
