"""A room as it really is: end walls out of plumb, a ceiling that is not level.

Elevation, exaggerated (the run stands plumb and level between them)::

      ____.-----------'''''\\
     |                           \\       ceiling by its heights at the left end, middle and right end
     |   | | | | | | | | | |      \\      of the wall; beyond the ends it goes on level
     |   | | | | | | | | | |       |
     +-----------------------------+     the run is measured where the wall is narrowest
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from meshes.layout.setout import SetOut
from meshes.solids.quads import joined
from meshes.solids.room import Faces, RoomBox, face
from meshes.solids.section import metres
from meshes.solids.wall import leaning


def crooked(set_outs: Sequence[SetOut], room: RoomBox) -> bool:
    """Whether the room of a single wall leans or falls anywhere. Round corners rooms are drawn plumb."""
    if len(set_outs) > 1:
        return False
    one = set_outs[0]
    left = room.beyond_left_mm == 0 and any(leaning(one, "left"))
    right = room.beyond_right_mm == 0 and any(leaning(one, "right"))
    return left or right or one.ceiling is not None


def crooked_faces(set_out: SetOut, room: RoomBox) -> Faces:
    """The faces of the room of one wall by node name, all looking inward [m]."""
    width, depth, level = metres(set_out.wall_width), room.depth_mm / 1000, metres(set_out.wall_height)
    heights = [metres(height) for height in set_out.ceiling] if set_out.ceiling else [level] * 3
    feet = [-room.beyond_left_mm / 1000, width + room.beyond_right_mm / 1000]
    heads = list(feet)
    if room.beyond_left_mm == 0:
        foot, head = leaning(set_out, "left")
        feet[0], heads[0] = -foot, -head
    if room.beyond_right_mm == 0:
        foot, head = leaning(set_out, "right")
        feet[1], heads[1] = width + foot, width + head
    first, last = min(feet[0], heads[0]), max(feet[1], heads[1])
    stations = sorted({first, 0.0, width / 2, width, last})

    def ceiling(x: float) -> float:
        return float(np.interp(x, [0, width / 2, width], heights))

    bays = [(x0, x1, ceiling(x0), ceiling(x1)) for x0, x1 in pairwise(stations)]
    low, high = ceiling(first), ceiling(last)
    return {
        "room/back": joined(
            [
                face([[x0, 0, 0], [x1, 0, 0], [x1, y1, 0], [x0, y0, 0]], "room_walls")
                for x0, x1, y0, y1 in bays
            ]
        ),
        "room/right": face(
            [[feet[1], 0, 0], [feet[1], 0, depth], [heads[1], high, depth], [heads[1], high, 0]], "room_walls"
        ),
        "room/front": joined(
            [
                face([[x1, 0, depth], [x0, 0, depth], [x0, y0, depth], [x1, y1, depth]], "room_walls")
                for x0, x1, y0, y1 in bays
            ]
        ),
        "room/left": face(
            [[feet[0], 0, depth], [feet[0], 0, 0], [heads[0], low, 0], [heads[0], low, depth]], "room_walls"
        ),
        "room/floor": face([[first, 0, depth], [last, 0, depth], [last, 0, 0], [first, 0, 0]], "room_floor"),
        "room/ceiling": joined(
            [
                face([[x0, y0, 0], [x1, y1, 0], [x1, y1, depth], [x0, y0, depth]], "room_ceiling")
                for x0, x1, y0, y1 in bays
            ]
        ),
    }
