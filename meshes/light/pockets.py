"""Openings in the slats, each a rectangular pocket: a plate or the wall at its bottom, cut slats and board as
its four sides. Light passes its opening evenly; inside it is exchanged by closed forms.

Sources: parallel and perpendicular rectangles, configurations C-11 and C-14 of Howell's catalogue; the rest
follows from closure and reciprocity.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.light.classes import CLASSES, ROOM, shares
from meshes.light.faces import Blocker, LampFace
from meshes.light.plane import Plane
from meshes.light.polygon import Array, seen_vector
from meshes.light.shade import less_hidden
from meshes.light.site import Site

FLAT_M = 1.5e-3
"""A pocket shallower than this is none."""
_POINTS = 4
"""Points along each side of a pocket's surfaces at which direct light is taken for their mean."""


def parallel(width: float, height: float, apart: float) -> float:
    """Factor between two equal aligned rectangles (C-11)."""
    x, y = width / apart, height / apart
    rx, ry = np.sqrt(1 + x * x), np.sqrt(1 + y * y)
    found = np.log(np.sqrt(rx * rx * ry * ry / (1 + x * x + y * y)))
    found += x * ry * np.arctan(x / ry) + y * rx * np.arctan(y / rx) - x * np.arctan(x) - y * np.arctan(y)
    return float(2 * found / (np.pi * x * y))


def perpendicular(edge: float, own: float, other: float) -> float:
    """Factor from a rectangle (``own`` deep) to one square to it (``other``) along a common edge (C-14)."""
    h, w = other / edge, own / edge
    h2, w2 = h * h, w * w
    root = np.sqrt(h2 + w2)
    found = w * np.arctan(1 / w) + h * np.arctan(1 / h) - root * np.arctan(1 / root)
    log = np.log((1 + w2) * (1 + h2) / (1 + w2 + h2))
    log += w2 * np.log(w2 * (1 + w2 + h2) / ((1 + w2) * (w2 + h2)))
    log += h2 * np.log(h2 * (1 + h2 + w2) / ((1 + h2) * (h2 + w2)))
    return float((found + log / 4) / (np.pi * w))


@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """One opening, in the light frame of its wall: bottom, then sides at low and high a, low and high b.

    A flat one is its bottom alone.
    """

    wall: int
    hole: int
    rect: Array
    """(4,) lowest a, b and highest a, b."""
    floor_z: float
    opening_z: float
    middle: Array
    """(3,) of the opening, in the world."""
    normal: Array
    """(3,) out of the wall, in the world."""
    patches: NDArray[np.intp]
    area: Array
    weight: Array
    """(n, classes)"""
    opening: Array
    """(n,) factor of the opening."""
    exchange: Array
    """(n, n) factors between bottom and sides."""

    @property
    def seen(self) -> Array:
        """(n,) how much of each is seen through the opening; they sum to 1."""
        return np.asarray(self.area * self.opening / self.area[0])

    def to_sides(self, points: Array) -> tuple[Array, Array]:
        """Of points (n, 3) on the bottom: factors of the four sides (n, 4) and of the opening (n,)."""
        deep = self.opening_z - self.floor_z
        near = [points[:, 0] - self.rect[0], self.rect[2] - points[:, 0]]
        near += [points[:, 1] - self.rect[1], self.rect[3] - points[:, 1]]
        sides = []
        for number, away in enumerate(near):
            low, high = (near[2], near[3]) if number < 2 else (near[0], near[1])
            sides.append(_upright(away, low, high, deep))
        found = np.stack(sides, axis=1)
        return found, 1 - found.sum(axis=1)


def _upright(away: Array, low: Array, high: Array, deep: float) -> Array:
    """Factor at a point of a rectangle square to it, ``deep`` high from the point's own plane, ``away`` off,
    reaching ``low`` and ``high`` to its sides (B-4 twice).
    """
    away = np.maximum(away, 1e-9)
    slant = np.hypot(away, deep)
    return np.asarray(
        sum(np.arctan(side / away) - away / slant * np.arctan(side / slant) for side in (low, high))
        / (2 * np.pi)
    )


def _factors(width: float, height: float, deep: float) -> tuple[Array, Array]:
    """Areas and (6, 6) factors of a box: bottom, four sides, opening."""
    area = np.array([width * height, *(height * deep,) * 2, *(width * deep,) * 2, width * height])
    found = np.zeros((6, 6))
    found[0, 5] = found[5, 0] = parallel(width, height, deep)
    for side in (1, 2):
        found[[0, 5], side] = perpendicular(height, width, deep)
    for side in (3, 4):
        found[[0, 5], side] = perpendicular(width, height, deep)
    for side in range(1, 5):
        found[side, [0, 5]] = found[0, side] * area[0] / area[side]
    found[1, 2] = found[2, 1] = parallel(height, deep, width)
    found[3, 4] = found[4, 3] = parallel(width, deep, height)
    for side, others in ((1, (3, 4)), (2, (3, 4)), (3, (1, 2)), (4, (1, 2))):
        found[side, others] = (1 - found[side].sum()) / 2
    return area, found


def pockets_of(
    walls: Sequence[Site], planes: Sequence[Plane], cells: int, first: int
) -> tuple[tuple[Pocket, ...], Array, Array]:
    """All pockets; what the field cells show of them (cells, pocket patches); and how much of each cell is
    no opening (cells,). planes : of the walls; first : number of the first pocket's first patch.
    """
    found: list[Pocket] = []
    slatted = np.ones(cells)
    shown: list[Array] = []
    for wall, where in enumerate(walls):
        plane = planes[wall].moved(where.frame)
        for hole in range(len(where.holes)):
            covered = np.zeros(cells)
            own = plane.cell >= 0
            share = hole_share(where, hole, plane.u, plane.v)
            covered[plane.cell[own]] = share[own]
            if covered.sum() <= 0:
                continue
            pocket = _pocket(wall, where, hole, first)
            first += len(pocket.area)
            found.append(pocket)
            shown.append(covered[:, None] * pocket.seen)
            slatted -= covered
    of_cell = np.concatenate(shown, axis=1) if shown else np.zeros((cells, 0))
    return tuple(found), of_cell, np.maximum(slatted, 0.0)


def hole_share(where: Site, hole: int, a: Array, b: Array) -> Array:
    """Share of each rectangle between grid lines that one opening takes of the slats' face."""
    low = np.maximum(where.holes[hole, :2], where.face[:, 0])
    high = np.minimum(where.holes[hole, 2:4], where.face[:, 1])
    parts = []
    for axis, lines in enumerate((a, b)):
        inside = np.minimum(lines[1:], high[axis]) - np.maximum(lines[:-1], low[axis])
        parts.append(np.maximum(inside, 0) / np.diff(lines))
    return np.outer(*parts)


def _pocket(wall: int, where: Site, hole: int, first: int) -> Pocket:
    a0, b0, a1, b1 = where.holes[hole].tolist()
    floor_z, plated = where.floors[hole].tolist()
    deep = where.front_z - floor_z
    if plated:
        bottom = shares(plate=1.0)
    else:
        bottom = np.zeros(len(CLASSES))
        bottom[ROOM] = where.reflectance[2]
    if deep <= FLAT_M:
        area, factors = np.array([(a1 - a0) * (b1 - b0)]), np.array([[0.0, 1.0]])
        weight = bottom[None]
    else:
        area, factors = _factors(a1 - a0, b1 - b0, deep)
        area = area[:-1]
        wood = min(1.0, where.depth / deep)
        cut = wood * where.slat_width / (where.slat_width + where.gap)
        along = shares(slat_side=wood, panel_edge=1 - wood)
        across = shares(slat_end=cut, slat_side=wood - cut, panel_edge=1 - wood)
        weight = np.stack([bottom, along, along, across, across])
    count = len(area)
    middle = np.array([(a0 + a1) / 2, (b0 + b1) / 2, where.front_z])
    out = where.frame.world(middle + np.array([0.0, 0.0, 1.0])) - where.frame.world(middle)
    return Pocket(
        wall=wall,
        hole=hole,
        rect=np.array([a0, b0, a1, b1]),
        floor_z=floor_z if count > 1 else where.front_z,
        opening_z=where.front_z,
        middle=where.frame.world(middle),
        normal=out,
        patches=first + np.arange(count),
        area=area,
        weight=weight,
        opening=factors[:count, -1],
        exchange=factors[:count, :count],
    )


def through_opening(
    lamp: LampFace, pocket: Pocket, points: Array, normal: Array, blockers: Sequence[Blocker]
) -> Array:
    """Factor of a lamp at points (n, 3) inside a pocket, light frame, seen through its opening."""
    up = pocket.opening_z - points[:, 2]
    zero = np.zeros(len(points))
    if up.max() < 1e-9:
        planes: tuple[Array, ...] = ()
    else:
        a0, b0, a1, b1 = (pocket.rect[k] - points[:, k % 2] for k in range(4))
        rows = ([up, zero, -a0], [-up, zero, a1], [zero, up, -b0], [zero, -up, b1])
        planes = tuple(np.stack(row, axis=1) for row in rows)
    above = np.broadcast_to(normal, points.shape)
    lit = (points - lamp.corners[0]) @ lamp.normal > 1e-9
    found = np.where(lit, np.abs(seen_vector(lamp.corners, points, (above, *planes)) @ normal), 0.0)
    return less_hidden(found, lamp.corners, points, above, (above, *planes), blockers)


def pocket_direct(where: Site, pocket: Pocket) -> Array:
    """Mean direct irradiance [lx] of each lamp on each surface of a pocket (n, lamps)."""
    a0, b0, a1, b1 = pocket.rect
    z0, z1 = pocket.floor_z, pocket.opening_z
    spans = ([a0, a1], [b0, b1], [z0, z1])
    found = np.zeros((len(pocket.area), len(where.lamps)))
    walls = ((2, z0, 1.0), (0, a0, 1.0), (0, a1, -1.0), (1, b0, 1.0), (1, b1, -1.0))
    middle = (np.arange(_POINTS) + 0.5) / _POINTS
    for number in range(len(pocket.area)):
        axis, at, sense = walls[number]
        first, second = (other for other in range(3) if other != axis)
        u, v = (low + (high - low) * middle for low, high in (spans[first], spans[second]))
        points = np.empty((_POINTS**2, 3))
        points[:, first], points[:, second] = np.repeat(u, _POINTS), np.tile(v, _POINTS)
        points[:, axis] = at
        normal = np.zeros(3)
        normal[axis] = sense
        for column, lamp in enumerate(where.lamps):
            lit = through_opening(lamp, pocket, points, normal, where.blockers(column))
            found[number, column] = np.pi * lamp.luminance * lit.mean()
    return found
