"""The room as patches: graded grids on the six planes of a closed box, and the exact exchange between them.

The box of the exchange ends at the plane of the slat fronts: its back plane holds the slat field (whose cells
belong to ``field``) and, round it, what is seen of the wall. The few centimetres of depth beside the field
are left out of the exchange, never out of the direct light.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from meshes.light.polygon import Array, facing_grid, square_grid
from meshes.light.site import Site

_THIN_M = 1e-4
"""Strips beside the field thinner than this are no patches: less than a pixel in any picture of a room."""
_EDGE_M, _GROWTH = 0.17, 0.6
_NEAR_LAMP, _FINEST_M = 0.8, 0.08
_FLUSH_M, _FLUSH_EDGE_M = 0.1, 0.05
"""Patches are this wide along edges and grow so fast inwards; near a lamp this share of the distance to
it.
"""
_GAUSS = (0.5 - 0.5 / np.sqrt(3), 0.5 + 0.5 / np.sqrt(3))


def graded_edges(low: float, high: float, spacing: Callable[[Array], Array]) -> Array:
    """Edges over [low, high] whose distances follow ``spacing`` (positions [m] -> wanted distance [m])."""
    fine = np.linspace(low, high, 2048)
    density = 1 / spacing(fine)
    count = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(fine))])
    cells = max(1, int(np.ceil(count[-1] - 0.25)))
    return np.asarray(np.interp(np.linspace(0, count[-1], cells + 1), count, fine))


def nearest_lit(where: Site, axis: int, positions: Array) -> Array:
    """Distance [m] from positions along ``axis`` on the room's planes to the nearest end of a lamp that
    lights them: along the middle of a long lamp, light changes slowly.
    """
    box = where.box.copy()
    box[2, 0] = where.front_z
    nearest = np.full(len(positions), np.inf)
    for lamp in where.lamps:
        low, high = lamp.corners.min(axis=0), lamp.corners.max(axis=0)
        beside = np.minimum(np.abs(positions - low[axis]), np.abs(positions - high[axis]))
        for other in range(3):
            if other == axis:
                continue
            for side, off in ((0, low[other] - box[other, 0]), (1, box[other, 1] - high[other])):
                towards = -1.0 if side == 0 else 1.0
                if abs(lamp.normal[other]) > 0.999 and lamp.normal[other] * towards < 0:
                    continue  # behind the lamp
                nearest = np.minimum(nearest, np.hypot(beside, max(0.0, off)))
    return nearest


def _flush_edge(where: Site, axis: int, end: float) -> float:
    """Width of the first patch at one end [m]: fine where a lamp lies in the plane there, since what it gives
    the planes beside it rises from nothing at their edge.
    """
    for lamp in where.lamps:
        flush = np.abs(lamp.corners[:, axis] - end).max() < _FLUSH_M
        if flush and abs(lamp.normal[axis]) > 0.999:
            return _FLUSH_EDGE_M
    return _EDGE_M


def lines(where: Site, axis: int, low: float, high: float, breaks: tuple[float, ...]) -> Array:
    """Grid lines over [low, high] through ``breaks``: fine along these edges and near lamps, coarse
    between.
    """
    stops = [low]
    for stop in sorted(breaks):
        if stops[-1] + _THIN_M < stop < high - _THIN_M:
            stops.append(stop)
    stops.append(high)
    found = [np.array([low])]
    for start, stop in pairwise(stops):

        def spacing(positions: Array, ends: tuple[float, float] = (start, stop)) -> Array:
            inner = np.minimum(positions - ends[0], ends[1] - positions)
            near_lamp = np.maximum(_NEAR_LAMP * nearest_lit(where, axis, positions), _FINEST_M)
            below, above = (_flush_edge(where, axis, end) for end in ends)
            edge = np.minimum(below + positions - ends[0], above + ends[1] - positions)
            return np.minimum(np.minimum(_EDGE_M, edge) + _GROWTH * inner, near_lamp)

        found.append(graded_edges(start, stop, spacing)[1:])
    return np.concatenate(found)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """One plane of the box with a grid on it; ``u`` and ``v`` are the other two axes in rising order."""

    axis: int
    side: int
    at: float
    u: Array
    v: Array

    @property
    def tangents(self) -> tuple[int, int]:
        first, second = (axis for axis in range(3) if axis != self.axis)
        return first, second

    @property
    def normal(self) -> Array:
        """Unit inward normal (3,)."""
        normal = np.zeros(3)
        normal[self.axis] = 1.0 if self.side == 0 else -1.0
        return normal

    @property
    def areas(self) -> Array:
        return np.outer(np.diff(self.u), np.diff(self.v))

    def points(self, u: Array, v: Array) -> Array:
        """Points (len(u), len(v), 3) of the plane."""
        found = np.empty((len(u), len(v), 3))
        found[..., self.axis] = self.at
        found[..., self.tangents[0]] = u[:, None]
        found[..., self.tangents[1]] = v[None, :]
        return found

    def seen_from(self, points: Array, normal: Array) -> Array:
        """Factors (..., len(u) - 1, len(v) - 1) of the cells from ``points`` (..., 3) with one square
        ``normal`` (3,). Points lie in the box; a receiver in the plane itself sees nothing of it."""
        axis = int(np.argmax(np.abs(normal)))
        distance = np.abs(points[..., self.axis] - self.at)
        first, second = self.tangents
        if float(distance.min()) < 1e-9:  # receivers in the plane itself
            return np.zeros((*distance.shape, len(self.u) - 1, len(self.v) - 1))
        u = self.u - points[..., first, None]
        v = self.v - points[..., second, None]
        if axis == self.axis:
            if normal[axis] * (self.at - points.reshape(-1, 3)[0, axis]) < 0:  # behind them
                return np.zeros((*distance.shape, len(self.u) - 1, len(self.v) - 1))
            return np.abs(facing_grid(u, v, distance))
        if axis == first:
            return np.abs(square_grid(u * normal[axis], v, distance))
        return np.swapaxes(np.abs(square_grid(v * normal[axis], u, distance)), -1, -2)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomPatches:
    """All patches of the room, plane after plane; cells of the back plane inside the field are left out."""

    planes: tuple[Plane, ...]
    """a low, a high, b low, b high, back (z low), front of the room (z high)."""
    field_a: NDArray[np.intp]
    """Index of the back plane's columns that lie in the field, and of its rows."""
    field_b: NDArray[np.intp]
    index: tuple[NDArray[np.intp], ...]
    """For each plane the patch number of each cell, -1 in the field."""
    centre: Array
    normal: Array
    area: Array
    plane_of: NDArray[np.intp]

    def spread(self, per_plane: list[Array]) -> Array:
        """Values by cell (..., nu, nv) of each plane as one array by patch (..., patches)."""
        found = np.zeros((*per_plane[0].shape[:-2], len(self.area)))
        for values, index in zip(per_plane, self.index, strict=True):
            kept = index >= 0
            found[..., index[kept]] = values[..., kept]
        return found

    def seen_from(self, points: Array, normal: Array) -> tuple[Array, Array]:
        """Factors from points (..., 3) with one normal: of the patches (..., patches), and of the field's
        cells (..., cells a, cells b)."""
        seen = [plane.seen_from(points, normal) for plane in self.planes]
        field = seen[4][..., self.field_a[:, None], self.field_b[None, :]]
        return self.spread(seen), field

    def samples(self) -> Array:
        """Four points a patch (patches, 4, 3), the Gauss points of its two directions."""
        found = np.empty((len(self.area), 4, 3))
        for plane, index in zip(self.planes, self.index, strict=True):
            for number, (i, j) in enumerate(((0, 0), (0, 1), (1, 0), (1, 1))):
                u = plane.u[:-1] + np.diff(plane.u) * _GAUSS[i]
                v = plane.v[:-1] + np.diff(plane.v) * _GAUSS[j]
                kept = index >= 0
                found[index[kept], number] = plane.points(u, v)[kept]
        return found

    def exchange(self) -> tuple[Array, Array]:
        """Mean factors over each patch: patch to patch (p, p) and patch to field cell (p, cells a, cells
        b).
        """
        samples = self.samples()
        cells = (len(self.field_a), len(self.field_b))
        rooms = np.empty((len(self.area), len(self.area)))
        fields = np.empty((len(self.area), *cells))
        for number, plane in enumerate(self.planes):
            own = np.flatnonzero(self.plane_of == number)
            if len(own):
                room, field = self.seen_from(samples[own], plane.normal)
                rooms[own], fields[own] = room.mean(axis=1), field.mean(axis=1)
        return rooms, fields


def room_patches(where: Site) -> RoomPatches:
    """Graded patches of the room round a site's field."""
    (a0, a1), (b0, b1), (_, z1) = where.box
    z0 = where.front_z
    a = lines(where, 0, a0, a1, tuple(where.face[0]))
    b = lines(where, 1, b0, b1, tuple(where.face[1]))
    z = lines(where, 2, z0, z1, ())
    planes = (
        Plane(axis=0, side=0, at=a0, u=b, v=z),
        Plane(axis=0, side=1, at=a1, u=b, v=z),
        Plane(axis=1, side=0, at=b0, u=a, v=z),
        Plane(axis=1, side=1, at=b1, u=a, v=z),
        Plane(axis=2, side=0, at=z0, u=a, v=b),
        Plane(axis=2, side=1, at=z1, u=a, v=b),
    )
    middle_a, middle_b = (a[1:] + a[:-1]) / 2, (b[1:] + b[:-1]) / 2
    in_a = (middle_a > where.face[0, 0]) & (middle_a < where.face[0, 1])
    in_b = (middle_b > where.face[1, 0]) & (middle_b < where.face[1, 1])
    index, centre, normal, area, plane_of, count = [], [], [], [], [], 0
    for number, plane in enumerate(planes):
        kept = np.ones((len(plane.u) - 1, len(plane.v) - 1), dtype=bool)
        if number == 4:
            kept = ~(in_a[:, None] & in_b[None, :])
        numbers = np.full(kept.shape, -1, dtype=np.intp)
        numbers[kept] = count + np.arange(kept.sum())
        count += int(kept.sum())
        index.append(numbers)
        middles = plane.points((plane.u[1:] + plane.u[:-1]) / 2, (plane.v[1:] + plane.v[:-1]) / 2)
        centre.append(middles[kept])
        normal.append(np.broadcast_to(plane.normal, (int(kept.sum()), 3)))
        area.append(plane.areas[kept])
        plane_of.append(np.full(int(kept.sum()), number))
    return RoomPatches(
        planes=planes,
        field_a=np.flatnonzero(in_a),
        field_b=np.flatnonzero(in_b),
        index=tuple(index),
        centre=np.concatenate(centre),
        normal=np.concatenate(normal),
        area=np.concatenate(area),
        plane_of=np.concatenate(plane_of),
    )
