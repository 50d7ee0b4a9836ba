"""Light at points of a view: which chart holds it, and interpolation there.

Every answer is a list of (values (k, r), rows (k,), mix (r, columns)): r directions of light at some of the
points, as in ``charts.Group``; together the rows are all points.
"""

import numpy as np
from numpy.typing import NDArray

from meshes.light.charts import Chart
from meshes.light.polygon import Array
from meshes.light.tables import ALL, Floats, Rows, by_normal, chart_values, groove_values
from meshes.light.transport import Transport

Lit = tuple[Floats, NDArray[np.intp], Array]

_BEHIND_M = 1.5e-3
"""A face this far behind the plane of the fronts lies in the shadow of the body."""
_ON_EDGE_M = 2e-3
_IN_PLANE_M = 1e-3
_REACH_M = 0.05
"""So near to a wall's own plane and extent a face of the room is that wall's."""


def wall_light(transport: Transport, word: str, position: Floats, normal: Floats) -> list[Lit]:
    """Light on one surface word of the walls at world points (n, 3)."""
    found: list[Lit] = []
    every = np.arange(len(position))
    for wall, some in _by_wall(transport, position):
        where = wall.site
        points, normals = where.to_light(position[some]), where.frame.directions(normal[some])
        rows = every[some]
        rest = np.ones(len(points), dtype=bool)
        lit: list[Lit] = []
        if word in ("slat_side", "fabric") and len(where.gap_left):
            lit, rest = _in_gaps(wall, word, points, normals)
        lit += _outside(wall, points, normals, np.flatnonzero(rest))
        found += [(values, rows[own], mix) for values, own, mix in lit]
    return found


def room_light(transport: Transport, position: Floats, normal: Floats) -> list[Lit]:
    """Light on faces of the room at world points (n, 3)."""
    found: list[Lit] = []
    left = np.ones(len(position), dtype=bool)
    for wall in transport.walls:
        where = wall.site
        points, normals = where.to_light(position), where.frame.directions(normal)
        inside = (points[:, :2] > where.box[:2, 0] - _REACH_M) & (points[:, :2] < where.box[:2, 1] + _REACH_M)
        own = left & (normals[:, 2] > 0.7) & (np.abs(points[:, 2]) < _REACH_M) & inside.all(axis=1)
        found += _outside(wall, points, normals, np.flatnonzero(own))
        left &= ~own
    for wall in transport.walls:
        there = np.flatnonzero(left)
        points, normals = wall.site.to_light(position[there]), wall.site.frame.directions(normal[there])
        for values, own_rows, mix in _beside_body(wall, points, normals):
            found.append((values, there[own_rows], mix))
            left[there[own_rows]] = False
    rest = np.flatnonzero(left)
    if len(rest):
        where = transport.site
        points, normals = where.to_light(position[rest]), where.frame.directions(normal[rest])
        found.append((by_normal(transport.room, points, normals), rest, transport.room.mix))
    return found


def _by_wall(transport: Transport, position: Floats) -> list[tuple[Transport, Rows]]:
    """Which rows of points (n, 3) lie on which wall: the one whose slab, from the wall to a little before the
    fronts, they lie in or are nearest to.
    """
    if not transport.others:
        return [(transport, ALL)]
    away = []
    for wall in transport.walls:
        where = wall.site
        low, high = where.box[:, 0].copy(), where.box[:, 1].copy()
        high[2] = where.front_z
        points = where.to_light(position)
        away.append(np.abs(points - np.clip(points, low, high)).max(axis=1))
    nearest = np.argmin(away, axis=0)
    return [(wall, np.flatnonzero(nearest == number)) for number, wall in enumerate(transport.walls)]


def _in_gaps(
    transport: Transport, word: str, points: Floats, normals: Floats
) -> tuple[list[Lit], NDArray[np.bool_]]:
    """Sides and fabric inside the gaps; and which points are not."""
    where, section = transport.site, transport.groove
    of_side = word == "slat_side"
    lefts = where.gap_left.astype(np.float32)
    inner = points[:, 0] + (np.sign(normals[:, 0]) * np.float32(where.gap / 4) if of_side else 0)
    number = np.clip(np.searchsorted(lefts, inner, side="right") - 1, 0, len(lefts) - 1)
    offset = inner - lefts[number]
    in_gap = (offset > -1e-4) & (offset < where.gap + 1e-4)
    middle = lefts[number] + np.float32(where.gap / 2)
    side = len(section.side_nodes)
    if of_side:
        node = np.interp(where.front_z - points[:, 2], section.side_nodes, np.arange(side))
        leftwards = normals[:, 0] > 0
        parts = [
            (np.flatnonzero(in_gap & leftwards), transport.sides, slice(0, side)),
            (np.flatnonzero(in_gap & ~leftwards), transport.sides, slice(side, None)),
        ]
    else:
        in_gap &= normals[:, 2] > 0.7
        node = np.interp(offset, section.base_nodes, np.arange(len(section.base_nodes)))
        parts = [(np.flatnonzero(in_gap), transport.base, slice(None))]
    found: list[Lit] = []
    for rows, group, nodes in parts:
        if len(rows):
            places = (middle[rows], points[rows, 1], node[rows].astype(np.float32))
            found.append(
                (groove_values(group, (transport.across, transport.along), *places, nodes), rows, group.mix)
            )
    return found, ~in_gap


def _outside(transport: Transport, points: Floats, normals: Floats, rows: NDArray[np.intp]) -> list[Lit]:
    """Everything but the gaps: the plane of the fronts, recessed wall, outer edges, edges inside the
    field.
    """
    where = transport.site
    found: list[Lit] = []

    def taken(
        chart: Chart, mix: Array, left: NDArray[np.intp], inside: NDArray[np.bool_]
    ) -> NDArray[np.intp]:
        """Rows that are left when a chart has taken those ``inside``."""
        own = left[inside]
        if len(own):
            found.append((chart_values(chart, points[own]), own, mix))
        return left[~inside]

    outwards = normals[rows, 2] > 0.7
    behind = outwards & (points[rows, 2] < where.front_z - _BEHIND_M)
    left = rows[behind]
    for chart in transport.recess.charts:
        flat = points[left, :2]
        beyond = np.zeros(len(left), dtype=bool)
        for at, (low, high) in zip(flat.T, where.body, strict=True):
            beyond |= (at < low - 5e-4) | (at > high + 5e-4)
        there = beyond | (np.abs(points[left, 2] - chart.at) < _IN_PLANE_M)
        left = taken(chart, transport.recess.mix, left, there & _within(chart, flat))
    fronts = np.concatenate([rows[outwards & ~behind], left])
    if len(fronts):
        fronts.sort()
        values = chart_values(transport.front.charts[0], points[fronts])
        found.append((values, fronts, transport.front.mix))
    left = rows[~outwards]
    for chart in transport.edges.charts:
        facing = normals[left] @ np.asarray(chart.normal, np.float32) > 0.7
        side = 1 if sum(chart.normal) > 0 else 0
        on_edge = np.abs(points[left, chart.axis] - where.body[chart.axis, side]) < _ON_EDGE_M
        left = taken(chart, transport.edges.mix, left, facing & on_edge)
    if len(left):
        found.append((by_normal(transport.square, points[left], normals[left]), left, transport.square.mix))
    return found


def _within(chart: Chart, flat: Floats) -> NDArray[np.bool_]:
    inside = np.ones(len(flat), dtype=bool)
    for at, lines in zip(flat.T, (chart.u, chart.v), strict=True):
        inside &= (at >= lines[0] - 1e-3) & (at <= lines[-1] + 1e-3)
    return inside


def _beside_body(wall: Transport, points: Floats, normals: Floats) -> list[Lit]:
    """Faces of the room behind the plane of the fronts: the side of a gap at an end of the run, and strips
    on which gaps end or that lie across a recess.
    """
    where = wall.site
    behind = np.flatnonzero((points[:, 2] < where.front_z) & (points[:, 2] > 0))
    found: list[Lit] = []
    left = np.ones(len(behind), dtype=bool)
    for chart in wall.strips.charts:
        facing = normals[behind] @ np.asarray(chart.normal, np.float32) > 0.7
        on_face = np.abs(points[behind, chart.axis] - chart.at) < _ON_EDGE_M
        along = points[behind, 1 - chart.axis]
        inside = left & facing & on_face & (along > chart.u[0] - 1e-3) & (along < chart.u[-1] + 1e-3)
        own = behind[inside]
        if len(own):
            found.append((chart_values(chart, points[own]), own, wall.strips.mix))
            left &= ~inside
    beside = behind[left & (np.abs(normals[behind, 0]) > 0.7)]
    if len(beside) and len(where.gap_left):
        in_gaps, _ = _in_gaps(wall, "slat_side", points[beside], normals[beside])
        found += [(values, beside[own], mix) for values, own, mix in in_gaps]
    return found
