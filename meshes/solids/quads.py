"""Plane four-cornered faces, the one thing that every solid here is made of.

Corners run anticlockwise seen from outside, so that two triangles (0, 1, 2) and (0, 2, 3) face outward::

    3 --- 2
    |   / |     normal towards the reader
    | /   |
    0 --- 1
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ids = NDArray[np.uint8]

UNSEEN = 255
"""Surface id of a face that touches another part (a slat's back): it closes the solid, nothing sees it."""

# Directions in the order -x, +x, -y, +y, -z, +z; every table of six in this room uses it.
DIRECTIONS: Floats = np.array(
    [[-1, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]], dtype=np.float64
)

# Corner signs of a box's six faces: 0 takes the low, 1 the high coordinate.
_BOX_CORNERS = np.array(
    [
        [[0, 0, 0], [0, 0, 1], [0, 1, 1], [0, 1, 0]],
        [[1, 0, 1], [1, 0, 0], [1, 1, 0], [1, 1, 1]],
        [[0, 0, 0], [1, 0, 0], [1, 0, 1], [0, 0, 1]],
        [[0, 1, 1], [1, 1, 1], [1, 1, 0], [0, 1, 0]],
        [[1, 0, 0], [0, 0, 0], [0, 1, 0], [1, 1, 0]],
        [[0, 0, 1], [1, 0, 1], [1, 1, 1], [0, 1, 1]],
    ]
)

_TRIANGLES = np.array([0, 1, 2, 0, 2, 3])


@dataclass(frozen=True, slots=True, kw_only=True)
class Quads:
    """Faces of one or many solids.

    corners : (n, 4, 3) float64 [m]; normals : (n, 3) float64, unit, outward; surfaces : (n,) uint8 ids into
    ``meshes.surfaces.SURFACES``, or UNSEEN.
    """

    corners: Floats
    normals: Floats
    surfaces: Ids

    def __len__(self) -> int:
        return len(self.corners)

    def moved(self, world_from_wall: Floats) -> "Quads":
        """The same faces after a rigid (4, 4) transform."""
        turn, shift = world_from_wall[:3, :3], world_from_wall[:3, 3]
        return Quads(
            corners=self.corners @ turn.T + shift, normals=self.normals @ turn.T, surfaces=self.surfaces
        )

    def triangles(self) -> NDArray[np.int64]:
        """(2 n, 3) indices into ``corners.reshape(-1, 3)``."""
        first = 4 * np.arange(len(self))[:, None]
        indices: NDArray[np.int64] = (first + _TRIANGLES).reshape(-1, 3)
        return indices


def joined(pieces: "list[Quads]") -> Quads:
    """All faces one after the other; an empty list gives no faces."""
    if not pieces:
        return Quads(corners=np.zeros((0, 4, 3)), normals=np.zeros((0, 3)), surfaces=np.zeros(0, np.uint8))
    return Quads(
        corners=np.concatenate([piece.corners for piece in pieces]),
        normals=np.concatenate([piece.normals for piece in pieces]),
        surfaces=np.concatenate([piece.surfaces for piece in pieces]),
    )


def boxes(low: Floats, high: Floats, surfaces: "tuple[int, ...] | Ids") -> Quads:
    """Cuboids. low, high : (n, 3) [m], low < high; surfaces : six ids in the order of DIRECTIONS.

    Six faces a box, in that order, boxes one after the other.
    """
    ends = np.stack([low, high], axis=1)
    corners = ends[:, _BOX_CORNERS, np.arange(3)]
    return Quads(
        corners=corners.reshape(-1, 4, 3),
        normals=np.tile(DIRECTIONS, (len(low), 1)),
        surfaces=np.tile(np.asarray(surfaces, np.uint8), len(low)),
    )


def sloped(solids: Quads, rises: Floats) -> Quads:
    """Boxes with their upper corners raised. rises : (n, 2) [m] of the left and right ones of each box."""
    corners = solids.corners.reshape(-1, 6, 4, 3).copy()
    upper, right = _BOX_CORNERS[..., 1] == 1, _BOX_CORNERS[..., 0]
    corners[..., 1] += np.where(upper, rises[:, right], 0.0)
    normals = solids.normals.reshape(-1, 6, 3).copy()
    across, up = (corners[:, 3, 1] - corners[:, 3, 0])[:, :2].T
    normals[:, 3] = np.stack([-up, across, np.zeros_like(up)], axis=1) / np.hypot(across, up)[:, None]
    return Quads(corners=corners.reshape(-1, 4, 3), normals=normals.reshape(-1, 3), surfaces=solids.surfaces)


def prism(outline: Floats, back: float, face: float, surface: int) -> Quads:
    """A solid from ``back`` to ``face``. outline : (4, 2) (x, y) [m], convex, anticlockwise from the room."""
    low = np.column_stack([outline, np.full(4, back)])
    high = np.column_stack([outline, np.full(4, face)])
    after = np.roll(np.arange(4), -1)
    sides = np.stack([low, low[after], high[after], high], axis=1)
    corners = np.concatenate([sides, high[None], low[None, ::-1]])
    normals = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    return Quads(corners=corners, normals=normals, surfaces=np.full(6, surface, np.uint8))


def rectilinear(
    xs: Floats, ys: Floats, zs: Floats, filled: NDArray[np.bool_], surfaces: "tuple[int, ...] | Ids"
) -> Quads:
    """The closed skin of the filled cells of a rectangular grid.

    xs, ys, zs : rising grid planes [m]; filled : (len(xs)-1, len(ys)-1, len(zs)-1); surfaces as in ``boxes``.
    Every face is one cell side, so neighbouring faces share whole edges and the skin has no T-junctions.
    """
    planes = (xs, ys, zs)
    padded = np.pad(filled, 1)
    found: list[Quads] = []
    for face, direction in enumerate(DIRECTIONS):
        axis, step = face // 2, int(direction.sum())
        neighbour = np.roll(padded, -step, axis=axis)
        cells = np.argwhere((padded & ~neighbour)[1:-1, 1:-1, 1:-1])
        low = np.stack([planes[k][cells[:, k]] for k in range(3)], axis=1)
        high = np.stack([planes[k][cells[:, k] + 1] for k in range(3)], axis=1)
        corners = np.stack([low, high], axis=1)[:, _BOX_CORNERS[face], np.arange(3)]
        found.append(
            Quads(
                corners=corners,
                normals=np.tile(direction, (len(cells), 1)),
                surfaces=np.full(len(cells), surfaces[face], np.uint8),
            )
        )
    return joined(found)
