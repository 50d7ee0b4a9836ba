"""Charts of the bottoms of pockets."""

import numpy as np

from meshes.light.charts import Charted
from meshes.light.gather import Gatherer
from meshes.light.pockets import through_opening
from meshes.light.recess import grid_points

_POCKET_LINES = (1 - np.cos(np.pi * np.arange(13) / 12)) / 2
"""Places of a chart along a pocket, close together at its sides."""


def pocket_columns(gather: Gatherer) -> list[Charted]:
    """A chart for the bottom of each opening of this wall that is deep enough to be a pocket."""
    where, up = gather.where, np.array([0.0, 0.0, 1.0])
    found: list[Charted] = []
    for pocket in gather.room.pockets:
        if pocket.wall != gather.wall or len(pocket.area) == 1:
            continue
        a0, b0, a1, b1 = pocket.rect
        lines = [a0 + (a1 - a0) * _POCKET_LINES, b0 + (b1 - b0) * _POCKET_LINES]
        points = grid_points(lines, pocket.floor_z)
        sides, opening = pocket.to_sides(points)
        middle = np.array([[(a0 + a1) / 2, (b0 + b1) / 2, where.front_z]])
        arriving, _ = gather.at(middle, up)
        indirect = opening[:, None] * arriving + sides @ gather.light.room[pocket.patches[1:]]
        lit = [
            np.pi * lamp.luminance * through_opening(lamp, pocket, points, up, where.blockers(number))
            for number, lamp in enumerate(where.lamps)
        ]
        columns = gather.light.mixed(indirect, np.stack(lit, axis=-1))
        shape = (len(lines[0]), len(lines[1]))
        found.append((2, pocket.floor_z, up, *lines, columns.reshape(*shape, -1)))
    return found
