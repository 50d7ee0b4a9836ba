"""What stands between a lamp and a receiver: how much of the lamp's light it hides.

One thing alone is cut out exactly. Where several hide parts that may overlap, which of the lamp's points are
hidden is tried along lines of sight to a grid of them.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from meshes.light.faces import Blocker, SolidFace, in_sight
from meshes.light.polygon import Array, seen_vector

_SIDE = 14
"""Lamp points tried along each side where things overlap: 196 in all, so that steps are half a per cent."""
_AT_ONCE = 1 << 14
_ON_M = 1e-5


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


def hidden_vector(polygon: Array, blocker: Blocker, points: Array, planes: tuple[Array, ...]) -> Array:
    """Vector factor (n, 3) of what a blocker hides of a lamp's polygon from points (n, 3).

    The lamp behind the blocker's plane is cut by the pyramid of sight over the blocker's outline, and by
    ``planes`` (n, 3) through the points, as the lamp itself is.
    """
    found = np.zeros((len(points), 3))
    near = np.flatnonzero(_between(polygon, blocker.corners, points))
    if not len(near):
        return found
    offset = float(blocker.corners[0] @ blocker.normal)
    side = points[near] @ blocker.normal - offset
    middle = blocker.corners.mean(axis=0)
    for sense in (1.0, -1.0) if blocker.both_sides else (1.0,):  # points before the face, and behind it
        rows = near[side * sense > 1e-9]
        behind = beyond(polygon, -sense * blocker.normal, -sense * offset)
        if not len(rows) or len(behind) < 3:
            continue
        way = blocker.corners[None] - points[rows, None]
        cuts = np.cross(way, np.roll(way, -1, axis=1))
        cuts *= np.sign(np.einsum("nkj,nj->nk", cuts, middle - points[rows]))[..., None]
        sides = [cuts[:, number] for number in range(cuts.shape[1])]
        found[rows] = seen_vector(behind, points[rows], [*sides, *(plane[rows] for plane in planes)])
    return found


def _between(polygon: Array, face: Array, points: Array) -> NDArray[np.bool_]:
    """Which points (n, 3) may have a face between themselves and a polygon: by boxes along the axes."""
    found = np.ones(len(points), dtype=bool)
    for at, ends, own in zip(points.T, polygon.T, face.T, strict=True):
        if ends.min() > own.max():
            found &= at <= own.max()
        if ends.max() < own.min():
            found &= at >= own.min()
    return found


def less_hidden(
    whole: Array,
    polygon: Array,
    points: Array,
    normals: Array,
    planes: tuple[Array, ...],
    blockers: Sequence[Blocker],
) -> Array:
    """Factors ``whole`` (n,) of a lamp's polygon at points (n, 3), less what blockers hide.

    normals : (n, 3) of the receivers; planes : (n, 3) inward normals of planes through the points that cut
    the lamp, as they cut ``whole``.
    """
    found = whole.copy()
    rows = np.flatnonzero(found > 0)
    if not blockers or not len(rows):
        return found
    at, facing = points[rows], normals[rows]
    cuts = tuple(plane[rows] for plane in planes)
    things: dict[int, list[Blocker]] = {}
    for blocker in blockers:
        key = blocker.solid if isinstance(blocker, SolidFace) else -1 - len(things)
        things.setdefault(key, []).append(blocker)
    total, count = np.zeros(len(rows)), np.zeros(len(rows), np.intp)
    for faces in things.values():
        hidden = np.zeros(len(rows))
        for face in faces:
            vector = hidden_vector(polygon, face, at, cuts)
            hidden += np.abs(np.einsum("nj,nj->n", vector, facing))
        if isinstance(faces[0], SolidFace) and faces[0].stands:  # what a solid stands on
            low, high = faces[0].box
            before = at + _ON_M * facing
            hidden[((before > low) & (before < high)).all(axis=1)] = np.inf
        total += hidden
        count += hidden > 1e-4 * found[rows]
    left = np.maximum(found[rows] - total, 0.0)
    several = np.flatnonzero(count > 1)
    if len(several):
        tried = tuple(plane[several] for plane in cuts)
        share = _seen_share(polygon, at[several], facing[several], tried, list(things.values()))
        left[several] = found[rows[several]] * share
    found[rows] = left
    return found


def _seen_share(
    polygon: Array, points: Array, normals: Array, planes: tuple[Array, ...], things: list[list[Blocker]]
) -> Array:
    """Share (n,) of a lamp's light at points that nothing hides, by a grid of points of the lamp."""
    step = (np.arange(_SIDE) + 0.5) / _SIDE
    u, v = np.meshgrid(step, step, indexing="ij")
    corner, along, across = polygon[0], polygon[1] - polygon[0], polygon[-1] - polygon[0]
    targets = corner + u.reshape(-1, 1) * along + v.reshape(-1, 1) * across
    out = np.cross(along, across)
    boxes = np.array([face.box for faces in things for face in faces[:1] if isinstance(face, SolidFace)])
    flats = [face for faces in things for face in faces if not isinstance(face, SolidFace)]
    found = np.empty(len(points))
    for start in range(0, len(points), _AT_ONCE):
        part = slice(start, start + _AT_ONCE)
        at = points[part]
        seen = in_sight(at, targets, boxes.reshape(-1, 2, 3))
        way = targets[None] - at[:, None]
        for flat in flats:
            seen &= ~_crosses(flat, at, way)
        weight = np.abs(way @ out) * np.maximum(np.einsum("ntj,nj->nt", way, normals[part]), 0)
        weight /= np.einsum("ntj,ntj->nt", way, way) ** 2
        for plane in planes:
            weight[np.einsum("ntj,nj->nt", way, plane[part]) < 0] = 0
        whole = weight.sum(axis=1)
        found[part] = (weight * seen).sum(axis=1) / np.maximum(whole, 1e-300)
    return found


def _crosses(face: Blocker, points: Array, way: Array) -> NDArray[np.bool_]:
    """Whether lines from points (n, 3) along ``way`` (n, t, 3) to its end pass through a rectangle."""
    height = (face.corners[0] - points) @ face.normal
    rise = way @ face.normal
    with np.errstate(divide="ignore", invalid="ignore"):
        share = height[:, None] / rise
    hit = points[:, None] + share[..., None] * way - face.corners[0]
    inside = (share > 1e-6) & (share < 1 - 1e-6)
    for side in (face.corners[1] - face.corners[0], face.corners[3] - face.corners[0]):
        place = hit @ side / (side @ side)
        inside &= (place > 0) & (place < 1)
    return np.asarray(inside)
