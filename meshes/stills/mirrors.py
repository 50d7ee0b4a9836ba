"""What gloss is made of: lamps mirrored at points of a surface, and tables with few directions."""

import numpy as np

from meshes.light.basis import training_finishes
from meshes.light.directions import compressed
from meshes.light.polygon import Array
from meshes.light.site import LampFace, Site
from meshes.light.tables import Floats
from meshes.light.transport import Transport
from meshes.stills.coating import Coat, mirrored_polygon


def lamps(where: Site, points: Array, toward: Array, coat: Coat) -> Array:
    """(n, lamps) [lx] what would have to fall on white to look as each lamp does, mirrored."""
    found = np.zeros((len(points), len(where.lamps)))
    for number, lamp in enumerate(where.lamps):
        rows = np.flatnonzero((points - lamp.corners[0]) @ lamp.normal > 1e-6)
        sent = mirrored_polygon(cells(lamp, where.front_z), points[rows], toward[rows], coat)
        found[rows, number] = np.pi * lamp.luminance * sent
    return found


def cells(lamp: LampFace, front_z: float) -> Array:
    """A lamp's face in cells (n, 4, 3) of about half its distance from the wall."""
    corner, first, second = (
        lamp.corners[0],
        lamp.corners[1] - lamp.corners[0],
        lamp.corners[3] - lamp.corners[0],
    )
    size = 0.5 * max(float(lamp.corners[:, 2].mean()) - front_z, 0.1)
    m, n = (int(np.clip(np.ceil(np.linalg.norm(side) / size), 1, 8)) for side in (first, second))
    steps = ((0, 0), (1, 0), (1, 1), (0, 1))
    return np.array(
        [
            [corner + (i + s) / m * first + (j + t) / n * second for s, t in steps]
            for i in range(m)
            for j in range(n)
        ]
    )


def packed(values: Array, of_room: Array, transport: Transport) -> tuple[Floats, Array]:
    """The few directions in which values (n, r + lamps) move with the finish, and their mix."""
    direct, blocks, start = [], [], 0
    finishes = training_finishes()
    for reduced in transport.reduced:
        row = np.zeros(transport.columns)
        row[start] = 1.0
        direct.append(row)
        one = np.zeros((len(finishes), transport.columns))
        one[:, start] = 1.0
        one[:, start + 1 : start + 1 + reduced.vectors] = reduced.coefficients(finishes)
        blocks.append(one)
        start += 1 + reduced.vectors
    mix = np.concatenate([of_room, np.array(direct)])
    tables, ways = compressed([values], np.concatenate(blocks) @ mix.T)
    return tables[0], ways @ mix
