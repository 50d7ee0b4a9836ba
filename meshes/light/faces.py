"""What shines and what stands in the way: lamps' faces, and the faces of solids."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from meshes.light.polygon import Array


class Blocker(Protocol):
    """A flat convex face that hides what is behind it; ``both_sides``, or only from where it looks."""

    @property
    def corners(self) -> Array: ...
    @property
    def normal(self) -> Array: ...
    @property
    def both_sides(self) -> bool: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class LampFace:
    """A lamp's shining face: ``corners`` (4, 3) and unit ``normal`` (3,) in the light frame [m]."""

    name: str
    corners: Array
    normal: Array
    luminance: float
    """[cd/m2]"""
    lumens: float

    @property
    def both_sides(self) -> bool:
        """A lamp's back hides as much as its face."""
        return True


@dataclass(frozen=True, slots=True, kw_only=True)
class SolidFace:
    """One face of a solid, seen from outside only: those that look at a point tile what the solid hides."""

    corners: Array
    normal: Array
    solid: int
    """Number of the solid that it is a face of."""
    box: Array
    """(2, 3) that solid's lowest and highest corner."""
    stands: bool
    """It stands in the room, and is no part of what lies behind a wall."""

    @property
    def both_sides(self) -> bool:
        return False


_HAIR_M = 1e-5
_NEAR = 1e-4
"""Ends of a line of sight that count as no part of it."""
_RINGS = ((0, 0), (0, 1), (1, 1), (1, 0))


def solid_faces(notches: Array, things: Array) -> tuple[SolidFace, ...]:
    """The six faces of each box (n, 2, 3): lowest and highest corner [m]."""
    found = []
    for solid, box in enumerate(np.concatenate([notches, things])):
        for axis in range(3):
            u, v = (other for other in range(3) if other != axis)
            for side, sense in ((0, -1.0), (1, 1.0)):
                corners = np.empty((4, 3))
                corners[:, axis] = box[side, axis]
                for number, (i, j) in enumerate(_RINGS):
                    corners[number, u], corners[number, v] = box[i, u], box[j, v]
                normal = np.zeros(3)
                normal[axis] = sense
                face = SolidFace(
                    corners=corners, normal=normal, solid=solid, box=box, stands=solid >= len(notches)
                )
                found.append(face)
    return tuple(found)


def in_sight(points: Array, targets: Array, solids: Array) -> NDArray[np.bool_]:
    """Whether each target (t, 3) is seen from each point (n, 3) past all boxes (k, 2, 3): (n, t).

    A line that ends on a box, or runs along its face, is not hidden by it.
    """
    seen = np.ones((len(points), len(targets)), dtype=bool)
    ends = np.concatenate([points, targets])
    hull = ends.min(axis=0), ends.max(axis=0)
    between = [box for box in solids if (box[0] < hull[1]).all() and (box[1] > hull[0]).all()]
    if not between:
        return seen
    start, stop = points.astype(np.float32), targets.astype(np.float32)
    inverse = []
    for axis in range(3):
        way = stop[None, :, axis] - start[:, None, axis]
        way[np.abs(way) < 1e-9] = 1e-9
        inverse.append(np.reciprocal(way, out=way))
    for low, high in between:
        enters = np.full(seen.shape, _NEAR, np.float32)
        leaves = np.full(seen.shape, 1 - _NEAR, np.float32)
        for axis in range(3):
            first = (np.float32(low[axis] + _HAIR_M) - start[:, None, axis]) * inverse[axis]
            last = (np.float32(high[axis] - _HAIR_M) - start[:, None, axis]) * inverse[axis]
            np.maximum(enters, np.minimum(first, last), out=enters)
            np.minimum(leaves, np.maximum(first, last, out=first), out=leaves)
        seen &= enters >= leaves
    return seen


def touching(solids: Array, reach: float = 2e-3) -> list[list[int]]:
    """Boxes (k, 2, 3) that touch belong together: the numbers of each group's boxes."""
    groups: list[list[int]] = []
    for number, (low, high) in enumerate(solids):
        near = [
            group
            for group in groups
            if any(
                (low <= solids[k, 1] + reach).all() and (solids[k, 0] <= high + reach).all() for k in group
            )
        ]
        groups = [group for group in groups if group not in near]
        groups.append(sorted([number, *(k for group in near for k in group)]))
    return sorted(groups)
