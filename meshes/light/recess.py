"""What lies behind the plane of the fronts, beside the slats: skirting, shadow gap, wall beyond an open end.

Section across the edge of the field; the body (slats, boards, trims) steps forward beside the receiver::

        body            /  lowest line of sight
    +----------+       /
    |          |     /
    |          |   /        step = depth of the body in front of the receiver
    |          | /
    +----------+----*-------------------   receiver, at a distance from the step

Direct light is cut exactly at the step. Of the room's patches those above the line of sight count, exactly;
what is left of the hemisphere is the step close by and, in a narrow recess, the side of the room (``Slot``).
"""

import numpy as np

from meshes.light.chart_lines import chart_lines, display_points
from meshes.light.charts import Charted, direct_columns, upsampled
from meshes.light.gather import Gatherer
from meshes.light.polygon import Array, facing_grid, seen_vector, square_grid, wedge_grid
from meshes.light.room_patches import past
from meshes.light.shade import less_hidden
from meshes.light.site import Site
from meshes.light.slot import Region, Slot, regions

_FLAT = 1e5
"""Slope of a line of sight that nothing stands in the way of."""


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
    plane = np.zeros_like(points)
    plane[:, region.across] = 1.0 if region.body_is_low else -1.0
    plane[:, 2] = -low if region.body_is_low else high
    up = np.broadcast_to([0.0, 0.0, 1.0], points.shape)
    found = np.where(lit, np.abs(seen_vector(lamp.corners, points, (up, plane))[:, 2]), 0.0)
    return less_hidden(found, lamp.corners, points, up, (up, plane), where.blockers(number))


def sighted(gather: Gatherer, points: Array, low: Array, high: Array, across: int) -> tuple[Array, Array]:
    """Factors (n, patches) of the room, and (n, cells) of the fields, at points (n, 3) that face it (normal
    z), seen between two slopes of the axis ``across`` over z.
    """
    along = 1 - across
    seen = []
    for plane in gather.room.planes:
        before = plane.sense * (points[:, plane.axis] - plane.at)
        ahead = before > 1e-9
        if (plane.axis == 2 and plane.side == 0) or not ahead.any():
            seen.append(np.zeros((len(points), len(plane.u) - 1, len(plane.v) - 1)))
            continue
        distance = np.where(ahead, before, 1.0)
        if plane.axis == across:
            slope = np.where(plane.side == 1, high, -low)
            z = plane.v - points[:, 2:]
            z = np.maximum(z, np.minimum(distance / slope, z[:, -1])[:, None])
            u = plane.u - points[:, along, None]
            found = np.swapaxes(square_grid(z, u, distance), -1, -2)
        elif plane.axis == along:
            u = plane.u - points[:, across, None]
            z = np.maximum(plane.v - points[:, 2:], 1e-9)
            found = wedge_grid(u, z, distance, low, high)[1]
        else:
            lines = [plane.u - points[:, 0:1], plane.v - points[:, 1:2]]
            lines[across] = np.clip(lines[across], (low * distance)[:, None], (high * distance)[:, None])
            found = facing_grid(lines[0], lines[1], distance)
        seen.append(np.where(ahead[:, None, None], np.abs(found), 0.0))
    return gather.room.gathered(past(seen, gather.sight(points)))


def recess_columns(gather: Gatherer) -> list[Charted]:
    """A chart for each region of wall beside the body."""
    where, back = gather.where, gather.back
    found: list[Charted] = []
    for region in regions(where):
        fine = [_lines(where, region, axis) for axis in range(2)]
        coarse = [
            fine[axis] if axis == region.across else display_points(lines)
            for axis, lines in enumerate((back.u, back.v))
        ]
        points = grid_points(coarse, region.at)
        low, high = _sight(region, where, points)
        indirect, open_share = gather.weighted(points, *sighted(gather, points, low, high, region.across))
        slot = Slot(region, where, gather)
        indirect += slot.at_base(points, open_share)
        shaped = indirect.reshape(len(coarse[0]), len(coarse[1]), -1)
        places = grid_points(fine, region.at)
        direct = np.stack(
            [
                np.pi * lamp.luminance * _direct(number, region, where, places)
                for number, lamp in enumerate(where.lamps)
            ],
            axis=-1,
        ).reshape(len(fine[0]), len(fine[1]), -1)
        columns = gather.light.mixed(upsampled(shaped, (coarse[0], coarse[1]), (fine[0], fine[1])), direct)
        found.append((2, region.at, np.array([0.0, 0.0, 1.0]), fine[0], fine[1], columns))
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


def grid_points(lines: list[Array], at: float) -> Array:
    a, b = np.meshgrid(lines[0], lines[1], indexing="ij")
    return np.stack([a.ravel(), b.ravel(), np.full(a.size, at)], axis=-1)


def edge_columns(gather: Gatherer) -> list[Charted]:
    """A chart for each side of the body where it does not stand against the room: outer faces of trims and
    end slats, the lower edge above a skirting. They look away from the body; nothing stands before them but
    the room.
    """
    where = gather.where
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
        indirect, open_share = gather.at(flat, normal)
        indirect += Slot(region, where, gather).at_body(flat, open_share)
        direct = direct_columns(where, points, normal)
        shaped = indirect.reshape(*b.shape, -1)
        found.append((axis, at, normal, along, depth, gather.light.mixed(shaped, direct)))
    return found
