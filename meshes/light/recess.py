"""What lies behind the plane of the fronts, beside the slats: skirting, shadow gap, wall beyond an open end.

Section across the edge of the field; the body (slats, boards, trims) steps forward beside the receiver::

        body            /  lowest line of sight
    +----------+       /
    |          |     /
    |          |   /        step = depth of the body in front of the receiver
    |          | /
    +----------+----*-------------------   receiver, at a distance from the step

Direct light is cut exactly at the step. Of the room's patches those above the line of sight count, exactly;
what is left of the hemisphere is wall and step close by, and has the radiosity of the wall there.
"""

from dataclasses import dataclass

import numpy as np

from meshes.light.charts import Gatherer, chart_lines, direct_columns, display_points, upsampled
from meshes.light.direct import hidden_vector
from meshes.light.polygon import Array, clip, edges_of, facing_grid, square_grid, vector_factor, wedge_grid
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site

_FLAT = 1e5
"""Slope of a line of sight that nothing stands in the way of."""
_THIN_M = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A rectangle of wall beside the body: ``across`` is the axis that leads away from it."""

    across: int
    body_is_low: bool
    """The body lies on the side of lower ``across``."""
    low: Array
    high: Array
    """(2,) its corners in a and b [m]."""
    at: float
    """Its plane z [m]."""


def regions(where: Site) -> list[Region]:
    """The strips of wall round the body that are wide enough to be seen."""
    found = []
    up = 0 if where.level else 1
    for axis in range(2):
        for side in range(2):
            low, high = where.box[:2, 0].copy(), where.box[:2, 1].copy()
            if side == 0:
                high[axis] = where.body[axis, 0]
            else:
                low[axis] = where.body[axis, 1]
            at = 0.0
            if axis == up and side == 0 and where.skirting is not None:
                at = where.skirting[1]
            if high[axis] - low[axis] > _THIN_M and where.front_z - at > _THIN_M:
                found.append(Region(across=axis, body_is_low=side == 1, low=low, high=high, at=at))
    return found


def _sight(region: Region, where: Site, points: Array) -> tuple[Array, Array]:
    """Slopes of ``across`` over z between which points (..., 3) of the region see out."""
    step = where.front_z - region.at
    edge = region.low[region.across] if region.body_is_low else region.high[region.across]
    slope = np.maximum(np.abs(points[..., region.across] - edge), 1e-6) / step
    flat = np.full_like(slope, _FLAT)
    return (-slope, flat) if region.body_is_low else (-flat, slope)


def _direct(number: int, region: Region, where: Site, points: Array) -> Array:
    """Factor of a lamp at points (n, 3) of a region, cut by the body's edge and by lamps in the way."""
    lamp = where.lamps[number]
    low, high = _sight(region, where, points)
    lit = (points - lamp.corners[0]) @ lamp.normal > 1e-9
    edges = edges_of(lamp.corners[None], points)
    edges = clip(edges, np.broadcast_to([0.0, 0.0, 1.0], points.shape))
    plane = np.zeros_like(points)
    plane[:, region.across] = 1.0 if region.body_is_low else -1.0
    plane[:, 2] = -low if region.body_is_low else high
    found = np.abs(vector_factor(clip(edges, plane))[:, 2])
    for blocker in where.blockers(number):
        planes = (np.broadcast_to([0.0, 0.0, 1.0], points.shape), plane)
        found -= np.abs(hidden_vector(lamp.corners, blocker, points, planes)[:, 2])
    return np.where(lit, np.maximum(found, 0.0), 0.0)


def sighted(room: RoomPatches, points: Array, low: Array, high: Array, across: int) -> Array:
    """Factors (n, patches) of the room at points (n, 3) that face it (normal z), seen between two slopes of
    the axis ``across`` over z.
    """
    along = 1 - across
    seen = []
    for plane in room.planes:
        away = plane.at - points[:, plane.axis]
        if plane.axis == across:
            slope = np.where(plane.side == 1, high, -low)
            z = plane.v - points[:, 2:]
            z = np.maximum(z, np.minimum(np.abs(away) / slope, z[:, -1])[:, None])
            u = plane.u - points[:, along, None]
            distance = np.maximum(np.abs(away), 1e-9)
            seen.append(np.swapaxes(np.abs(square_grid(z, u, distance)), -1, -2))
        elif plane.axis == along:
            u = plane.u - points[:, across, None]
            z = plane.v - points[:, 2:]
            distance = np.maximum(np.abs(away), 1e-9)
            seen.append(wedge_grid(u, z, distance, low, high)[1])
        elif plane.side == 0:
            seen.append(np.zeros((len(points), len(plane.u) - 1, len(plane.v) - 1)))
        else:
            lines = [plane.u - points[:, 0:1], plane.v - points[:, 1:2]]
            lines[across] = np.clip(lines[across], (low * away)[:, None], (high * away)[:, None])
            seen.append(np.abs(facing_grid(lines[0], lines[1], away)))
    return room.spread(seen)


Charted = tuple[int, Array, Array, Array, Array]
"""Axis and normal of a chart, its two sets of lines, its columns (nu, nv, columns)."""


def recess_columns(where: Site, gather: Gatherer) -> list[Charted]:
    """A chart for each region of wall beside the body."""
    back = gather.room.planes[4]
    middles = ((back.u[1:] + back.u[:-1]) / 2, (back.v[1:] + back.v[:-1]) / 2)
    found: list[Charted] = []
    for region in regions(where):
        fine = [_lines(where, region, axis) for axis in range(2)]
        coarse = [
            fine[axis] if axis == region.across else display_points(lines)
            for axis, lines in enumerate((back.u, back.v))
        ]
        points = _grid(coarse, region.at)
        low, high = _sight(region, where, points)
        factors = sighted(gather.room, points, low, high, region.across)
        shape = (len(coarse[0]), len(coarse[1]))
        beside = upsampled(gather.wall_radiosity(), middles, (coarse[0], coarse[1])).reshape(len(points), -1)
        open_share = factors.sum(axis=1, keepdims=True)
        # walls inside a narrow slit are as dark as the slit is closed
        rest = (1 - open_share) * open_share * beside
        indirect = (factors @ gather.light.radiosity.room + rest).reshape(*shape, -1)
        places = _grid(fine, region.at)
        direct = np.stack(
            [
                np.pi * lamp.luminance * _direct(number, region, where, places)
                for number, lamp in enumerate(where.lamps)
            ],
            axis=-1,
        ).reshape(len(fine[0]), len(fine[1]), -1)
        columns = gather.light.mixed(upsampled(indirect, (coarse[0], coarse[1]), (fine[0], fine[1])), direct)
        found.append((2, np.array([0.0, 0.0, 1.0]), fine[0], fine[1], columns))
    return found


def _lines(where: Site, region: Region, axis: int) -> Array:
    low, high = float(region.low[axis]), float(region.high[axis])
    if axis != region.across:
        return chart_lines(where, axis, low, high, offset=(2, region.at))
    # fine where the step casts its shadow: a few depths of the body
    step = where.front_z - region.at
    away = np.concatenate([[0.0], step * np.geomspace(0.06, 60, 28)])
    away = np.append(away[away < high - low], high - low)
    return low + away if region.body_is_low else np.sort(high - away)


def _grid(lines: list[Array], at: float) -> Array:
    a, b = np.meshgrid(lines[0], lines[1], indexing="ij")
    return np.stack([a.ravel(), b.ravel(), np.full(a.size, at)], axis=-1)


def edge_columns(where: Site, gather: Gatherer) -> list[Charted]:
    """A chart for each side of the body where it does not stand against the room: outer faces of trims and
    end slats, the lower edge above a skirting. They look away from the body; nothing stands before them but
    the room.
    """
    found: list[Charted] = []
    for region in regions(where):
        axis = region.across
        at = float(region.low[axis] if region.body_is_low else region.high[axis])
        normal = np.zeros(3)
        normal[axis] = 1.0 if region.body_is_low else -1.0
        other = 1 - axis
        along = chart_lines(where, other, *where.box[other], offset=(2, where.front_z))
        depth = where.front_z * np.array([0.0, 0.25, 0.5, 0.75, 0.9, 1.0])
        b, z = np.meshgrid(along, depth, indexing="ij")
        points = np.empty((*b.shape, 3))
        points[..., axis] = at + 1e-5 * normal[axis]
        points[..., other] = b
        points[..., 2] = z
        flat = points.reshape(-1, 3)
        factors, _ = gather.room.seen_from(flat, normal)
        back = gather.room.planes[4]
        near = flat[:, :2] + 0.02 * normal[:2]
        cell = [
            np.clip(np.searchsorted(lines, near[:, k]) - 1, 0, len(lines) - 2)
            for k, lines in enumerate((back.u, back.v))
        ]
        beside = gather.wall_radiosity()[cell[0], cell[1]]
        open_share = np.minimum(factors.sum(axis=1, keepdims=True), 1)
        rest = (1 - open_share) * np.minimum(2 * open_share, 1) * beside
        indirect = (factors @ gather.light.radiosity.room + rest).reshape(*b.shape, -1)
        direct = direct_columns(where, points, normal)
        found.append((axis, normal, along, depth, gather.light.mixed(indirect, direct)))
    return found
