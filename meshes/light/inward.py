"""What the inside of a gap sees of the room through its opening: exact factors at the nodes of a groove."""

import numpy as np

from meshes.light.groove import BASE, LEFT, Groove
from meshes.light.plane import Plane
from meshes.light.polygon import Array, facing_grid, square_grid, wedge_grid
from meshes.light.room_patches import RoomPatches, past
from meshes.light.site import Site

_PLACES_AT_ONCE = 2
"""Columns of cells whose factors are made together: more take much memory, and are no faster."""


def inward_factors(
    wall: int, section: Groove, where: Site, room: RoomPatches
) -> tuple[Array, Array, Array, Array]:
    """Factors at the nodes of a groove, and at a slat front, at each cell's middle: of all room patches, and
    of the cells of all fields. room : in the wall's frame.
    """
    back = room.planes[room.wall_plane[wall]]
    columns, rows = room.field_of(wall)
    a, b = back.middles[0][columns], back.middles[1][rows]
    out = np.array([0.0, 0.0, 1.0])
    several = len(room.field_shape) > 1
    found: list[tuple[Array, ...]] = []
    for first in range(0, len(a), _PLACES_AT_ONCE):
        here = a[first : first + _PLACES_AT_ONCE]
        fronts = np.stack(np.broadcast_arrays(here[:, None], b[None, :], where.front_z), axis=-1)
        sight = room.sight(fronts)
        inside = past(_seen_inside(section, where, room, here, b), sight)
        flat = past([plane.seen_from(fronts, out) for plane in room.planes], sight)
        both = [room.gathered(seen, fields=several, kind=np.float32) for seen in (inside, flat)]
        found.append((*both[0], *both[1]))
    inward, cells, front, front_cells = (np.concatenate(parts) for parts in zip(*found, strict=True))
    return inward, cells, front, front_cells


def _seen_inside(section: Groove, where: Site, room: RoomPatches, a: Array, b: Array) -> list[Array]:
    """Factors (a, b, nodes, nu, nv) of each plane's cells at the nodes of grooves about a, at b."""
    t, depth = section.node_points[:, 0], section.node_points[:, 1]
    kind = section.node_kind
    low, high = section.wedge()
    shape = (len(a), len(b), len(t))
    low, high = np.broadcast_to(low, shape), np.broadcast_to(high, shape)
    at_a = np.broadcast_to(a[:, None, None] - section.gap / 2 + t, shape)
    at_b = np.broadcast_to(b[None, :, None], shape)
    at_z = np.broadcast_to(where.front_z - depth, shape)
    is_base = (kind == BASE)[:, None, None]
    seen: list[Array] = []
    for plane in room.planes:
        before = plane.sense * ({0: at_a, 1: at_b, 2: at_z}[plane.axis] - plane.at)
        ahead = before > 1e-9
        cells = (*shape, len(plane.u) - 1, len(plane.v) - 1)
        if (plane.axis == 2 and plane.side == 0) or not ahead.any():
            seen.append(np.zeros(cells))
            continue
        away = np.where(ahead, before, 1.0)
        if plane.axis == 0:  # u = b, v = z
            found = _across(plane, away, at_b, at_z, kind, low, high)
        elif plane.axis == 1:  # u = a, v = z
            at = plane.at - at_b
            z = np.maximum(plane.v - at_z[..., None], 1e-9)
            side, base = wedge_grid(plane.u - at_a[..., None], z, at, low, high)
            found = np.where(is_base, base, side)
        else:  # u = a, v = b
            facing = np.where(kind == LEFT, 1.0, -1.0)[:, None]  # of the sides, along a
            u = np.clip(plane.u - at_a[..., None], (low * away)[..., None], (high * away)[..., None])
            v = plane.v - at_b[..., None]
            base = facing_grid(u, v, away)
            side = square_grid(u * facing, v, away)
            found = np.abs(np.where(is_base, base, side))
        seen.append(found if ahead.all() else np.where(ahead[..., None, None], found, 0.0))
    return seen


def _across(
    plane: Plane, away: Array, at_b: Array, at_z: Array, kind: Array, low: Array, high: Array
) -> Array:
    """Factors of a plane square to a: seen through the opening beyond the z at which the wedge reaches it."""
    slope = -low if plane.side == 0 else high
    with np.errstate(divide="ignore"):
        opened = np.where(slope > 0, away / slope, np.inf)[..., None]
    z = plane.v - at_z[..., None]
    z = np.clip(z, np.minimum(opened, z[..., -1:]), None)
    u = plane.u - at_b[..., None]
    base = np.swapaxes(square_grid(z, u, away), -1, -2)
    side = facing_grid(u, z, away)
    looks = ((kind == LEFT) == bool(plane.side))[:, None, None]
    return np.where((kind == BASE)[:, None, None], np.abs(base), np.where(looks, np.abs(side), 0.0))
