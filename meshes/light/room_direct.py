"""Direct light of the lamps on the room's patches."""

from collections.abc import Sequence

import numpy as np

from meshes.light.direct import open_factor
from meshes.light.pockets import pocket_direct
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site

_THIRDS = (np.arange(3) + 0.5) / 3


def room_direct(walls: Sequence[Site], room: RoomPatches) -> Array:
    """Direct irradiance [lx] of each lamp on each patch (p, lamps), the mean over 3 x 3 points; room : in
    world metres.
    """
    where = walls[0]
    found = np.zeros((len(room.area), len(where.lamps)))
    for plane in room.moved(where.frame).planes:
        kept = plane.patch >= 0
        if not kept.any():
            continue
        u = (plane.u[:-1, None] + np.diff(plane.u)[:, None] * _THIRDS).ravel()
        v = (plane.v[:-1, None] + np.diff(plane.v)[:, None] * _THIRDS).ravel()
        points = plane.points(u, v)
        for column, lamp in enumerate(where.lamps):
            factor = open_factor(lamp, points, plane.normal, where.blockers(column))
            lit = np.pi * lamp.luminance * factor
            mean = lit.reshape(len(plane.u) - 1, 3, len(plane.v) - 1, 3).mean(axis=(1, 3))
            found[plane.patch[kept], column] = mean[kept]
    for pocket in room.pockets:
        found[pocket.patches] = pocket_direct(walls[pocket.wall], pocket)
    return found
