"""A door's leaf that stands open, folded back before the slats as far as it goes: a plain painted board.

It turns about a hinge level with the architrave's face. Seen from above, hung on the right::

      z            ____----
      |   ____----             leaf, from its hinge outward
      o---  . . . . . . . .    fronts of the slats
   ---+--------------------- wall
"""

import numpy as np

from meshes.layout.leaf import stop
from meshes.layout.openings import opening_rect
from meshes.layout.setout import SetOut
from meshes.layout.survey import Opening
from meshes.solids.quads import UNSEEN, Floats, Quads, boxes
from meshes.solids.section import corners_m, metres
from meshes.surfaces import PROP_ID

_THICK_M, _JOINT_M, _HAIRLINE_M = 0.04, 0.003, 1e-5
_SLICES = 5
_BEFORE_M, _FLATTEST_M = 1e-3, 0.01


def leaf_faces(opening: Opening, set_out: SetOut) -> Quads:
    """The leaf of a door in its wall's frame, as upright slices of six faces each.

    Raises ValueError for an opening without one.
    """
    if opening.leaf is None:
        raise ValueError(f"leaf: a {opening.kind} without one")
    left, bottom, right, top = corners_m(opening_rect(opening))
    hung_left = opening.leaf.hinge == "left"
    ends = np.linspace(0, metres(opening.leaf.width_mm), _SLICES + 1) * (-1 if hung_left else 1)
    first, last = np.sort([ends[:-1], ends[1:]], axis=0)
    one = np.ones(_SLICES)
    low = np.stack([first + _HAIRLINE_M, (bottom + _JOINT_M) * one, 0 * one], axis=1)
    high = np.stack([last, (top - _JOINT_M) * one, _THICK_M * one], axis=1)
    turn = stop(opening, set_out.build_up)
    cosine, sine = np.cos(turn), np.sin(turn) * (-1 if hung_left else 1)
    placed = np.eye(4)
    placed[:3, :3] = [[cosine, 0.0, -sine], [0.0, 1.0, 0.0], [sine, 0.0, cosine]]
    placed[:3, 3] = [left if hung_left else right, 0.0, metres(opening.architrave_projection_mm)]
    flat = boxes(low, high, (PROP_ID["leaf"],) * 6)
    surfaces = flat.surfaces.reshape(-1, 6)
    surfaces[first > first.min(), 0] = UNSEEN  # between slices
    surfaces[last < last.max(), 1] = UNSEEN
    return flat.moved(placed)


def leaf_boxes(corners: Floats, world_from_wall: Floats, face: float) -> list[tuple[Floats, Floats]]:
    """Lowest and highest corners of boxes about the slices of a leaf (6 n, 4, 3), in the world [m].

    face : how far the slats stand out; what lies behind that is no part of the lit room.
    """
    turn, shift = world_from_wall[:3, :3], world_from_wall[:3, 3]
    slices = ((corners - shift) @ turn).reshape(-1, 24, 3)
    found = []
    for low, high in zip(slices.min(axis=1), slices.max(axis=1), strict=True):
        low[2] = max(low[2], face + _BEFORE_M)
        if high[2] - low[2] > _FLATTEST_M:
            ends = np.array([low, high]) @ turn.T + shift
            found.append((ends.min(axis=0), ends.max(axis=0)))
    return found
