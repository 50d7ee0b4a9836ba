"""Direct light of lamps: exact, with soft shadows, by clipping the lamp's polygon as the receiver sees it."""

import numpy as np
from numpy.typing import NDArray

from meshes.light.faces import Blocker, LampFace
from meshes.light.polygon import Array, seen_vector
from meshes.light.shade import beyond, less_hidden


def cut_below(polygon: Array, height: float) -> Array:
    """The part of one convex polygon (k, 3) that lies at z >= ``height``; (0, 3) where nothing does."""
    return beyond(polygon, np.array([0.0, 0.0, 1.0]), height)


def _in_front(lamp: LampFace, points: Array) -> NDArray[np.bool_]:
    return np.asarray((points - lamp.corners[0]) @ lamp.normal > 1e-9)


def open_factor(lamp: LampFace, points: Array, normal: Array, blockers: tuple[Blocker, ...] = ()) -> Array:
    """Factor of a lamp (...,) at ``points`` (..., 3) with ``normal`` (3,) or (..., 3), less what ``blockers``
    hide.

    Irradiance [lx] = pi * luminance * factor.
    """
    flat = points.reshape(-1, 3)
    normals = np.broadcast_to(normal, points.shape).reshape(-1, 3)
    heights = np.einsum("nkj,nj->nk", lamp.corners[None] - flat[:, None], normals)
    lit = _in_front(lamp, flat) & (heights.max(axis=1) > 0)
    found = np.zeros(len(flat))
    whole = np.flatnonzero(lit & (heights.min(axis=1) >= 0))
    cut = np.flatnonzero(lit & (heights.min(axis=1) < 0))
    for rows, clipped in ((whole, False), (cut, True)):
        if len(rows):
            planes = (normals[rows],) if clipped else ()
            vector = seen_vector(lamp.corners, flat[rows], planes)
            found[rows] = np.abs(np.einsum("nj,nj->n", vector, normals[rows]))
    found = less_hidden(found, lamp.corners, flat, normals, (normals,), blockers)
    return found.reshape(points.shape[:-1])


def wedge_factor(
    lamp: LampFace,
    points: Array,
    axis: Array,
    low: Array,
    high: Array,
    front_z: float,
    blockers: tuple[Blocker, ...] = (),
) -> Array:
    """Factor of a lamp inside a groove, seen only between the slopes ``low`` <= da/dz <= ``high``.

    points : (n, 3) in the groove [m]; axis : (n,) 0 where the receiver's normal lies along a, 2 where along
    z; low, high : (n,). Returns (n,).
    """
    polygon = cut_below(lamp.corners, front_z)
    found = np.zeros(len(points))
    if not len(polygon):
        return found
    way = polygon[None] - points[:, None]
    slopes = way[..., 0] / way[..., 2]
    least, most = slopes.min(axis=1), slopes.max(axis=1)
    lit = _in_front(lamp, points) & (least < high) & (most > low)
    whole = np.flatnonzero(lit & (least >= low) & (most <= high))
    cut = np.flatnonzero(lit & ((least < low) | (most > high)))
    for rows, clipped in ((whole, False), (cut, True)):
        if len(rows):
            planes = _wedge_planes(low[rows], high[rows]) if clipped else ()
            vector = seen_vector(polygon, points[rows], planes)
            found[rows] = np.abs(vector[np.arange(len(rows)), axis[rows]])
    if not blockers:
        return found
    facing = np.zeros((len(points), 3))
    sideways = way[..., 0].mean(axis=1)
    facing[np.arange(len(points)), axis] = np.where(axis == 0, np.where(sideways < 0, -1.0, 1.0), 1.0)
    return less_hidden(found, polygon, points, facing, _wedge_planes(low, high), blockers)


def _wedge_planes(low: Array, high: Array) -> tuple[Array, Array]:
    one, zero = np.ones_like(low), np.zeros_like(low)
    return np.stack([one, zero, -low], -1), np.stack([-one, zero, high], -1)
