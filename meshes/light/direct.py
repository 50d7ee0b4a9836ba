"""Direct light of lamps: exact, with soft shadows, by clipping the lamp's polygon as the receiver sees it."""

import numpy as np
from numpy.typing import NDArray

from meshes.light.polygon import Array, clip, edges_of, vector_factor
from meshes.light.site import LampFace


def beyond(polygon: Array, normal: Array, offset: float) -> Array:
    """The part of one convex polygon (k, 3) where ``normal`` . x >= ``offset``; (0, 3) where none is."""
    heights = polygon @ normal - offset
    found: list[Array] = []
    for number, start in enumerate(polygon):
        after = (number + 1) % len(polygon)
        if heights[number] >= 0:
            found.append(start)
        if (heights[number] < 0) != (heights[after] < 0):
            share = heights[number] / (heights[number] - heights[after])
            found.append(start + share * (polygon[after] - start))
    return np.array(found).reshape(-1, 3)


def cut_below(polygon: Array, height: float) -> Array:
    """The part of one convex polygon (k, 3) that lies at z >= ``height``; (0, 3) where nothing does."""
    return beyond(polygon, np.array([0.0, 0.0, 1.0]), height)


def hidden_vector(polygon: Array, blocker: LampFace, points: Array, planes: tuple[Array, ...]) -> Array:
    """Vector factor (n, 3) of what a blocker hides of a lamp's polygon from points (n, 3).

    The lamp behind the blocker's plane is cut by the pyramid of sight over the blocker's outline, and by
    ``planes`` (n, 3) through the points, as the lamp itself is.
    """
    found = np.zeros((len(points), 3))
    offset = float(blocker.corners[0] @ blocker.normal)
    side = points @ blocker.normal - offset
    middle = blocker.corners.mean(axis=0)
    for sense in (1.0, -1.0):  # points before the blocker's shining face, and behind it
        rows = np.flatnonzero(side * sense > 1e-9)
        behind = beyond(polygon, -sense * blocker.normal, -sense * offset)
        if not len(rows) or len(behind) < 3:
            continue
        way = blocker.corners[None] - points[rows, None]
        cuts = np.cross(way, np.roll(way, -1, axis=1))
        cuts *= np.sign(np.einsum("nkj,nj->nk", cuts, middle - points[rows]))[..., None]
        edges = edges_of(behind[None], points[rows])
        for number in range(cuts.shape[1]):
            edges = clip(edges, cuts[:, number])
        for plane in planes:
            edges = clip(edges, plane[rows])
        found[rows] = vector_factor(edges)
    return found


def _in_front(lamp: LampFace, points: Array) -> NDArray[np.bool_]:
    return np.asarray((points - lamp.corners[0]) @ lamp.normal > 1e-9)


def open_factor(lamp: LampFace, points: Array, normal: Array, blockers: tuple[LampFace, ...] = ()) -> Array:
    """Factor of a lamp (...,) at ``points`` (..., 3) with ``normal`` (3,) or (..., 3), less what ``blockers``
    hide; blockers that hide the same part count twice, down to nothing.

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
            edges = edges_of(lamp.corners[None], flat[rows])
            if clipped:
                edges = clip(edges, normals[rows])
            found[rows] = np.abs(np.einsum("nj,nj->n", vector_factor(edges), normals[rows]))
    rows = np.flatnonzero(found > 0)
    for blocker in blockers if len(rows) else ():
        hidden = hidden_vector(lamp.corners, blocker, flat[rows], (normals[rows],))
        found[rows] -= np.abs(np.einsum("nj,nj->n", hidden, normals[rows]))
    return np.maximum(found, 0.0).reshape(points.shape[:-1])


def wedge_factor(
    lamp: LampFace,
    points: Array,
    axis: Array,
    low: Array,
    high: Array,
    front_z: float,
    blockers: tuple[LampFace, ...] = (),
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
            edges = edges_of(polygon[None], points[rows])
            if clipped:
                for plane in _wedge_planes(low[rows], high[rows]):
                    edges = clip(edges, plane)
            vector = vector_factor(edges)
            found[rows] = np.abs(vector[np.arange(len(rows)), axis[rows]])
    rows = np.flatnonzero(found > 0)
    for blocker in blockers if len(rows) else ():
        planes = _wedge_planes(low[rows], high[rows])
        hidden = hidden_vector(polygon, blocker, points[rows], planes)
        found[rows] -= np.abs(hidden[np.arange(len(rows)), axis[rows]])
    return np.maximum(found, 0.0)


def _wedge_planes(low: Array, high: Array) -> tuple[Array, Array]:
    one, zero = np.ones_like(low), np.zeros_like(low)
    return np.stack([one, zero, -low], -1), np.stack([-one, zero, high], -1)
