"""Grey things that stand in the room, for the orbit view: their faces as grids, with light at every crossing.

``thing_faces`` (faces, 2) counts the cells of each face along its first and its second side;
``thing_corners`` (crossings, 3) [m], face after face, the second side fastest; ``things.table`` (crossings,
r) light times reflectance, which ``things.mix`` (r, columns) mixes as it does that of a chart.
"""

import numpy as np
from numpy.typing import NDArray

from meshes.light.props import prop_values
from meshes.light.transport import Transport
from meshes.solids.quads import UNSEEN, Quads
from meshes.solids.scene import Scene
from meshes.surfaces import SURFACES
from viewer.pages.orbit_container import Arrays

CELL_M = 0.05
"""Crossings stand no farther apart: the light between them is a straight line's."""
_HAIR_M = 2e-3
"""Light is taken so far from a face's edge, which may lie against another thing."""

Floats = NDArray[np.float64]


def thing_geometry(scene: Scene) -> Arrays:
    """Grids of all things; nothing where none stands in the room."""
    faces = _faces(scene)
    if not len(faces):
        return {}
    cells = _cells(faces)
    return {
        "thing_faces": cells.astype(np.int16),
        "thing_corners": np.concatenate(
            [_grid(face, _shares(many)) for face, many in zip(faces.corners, cells, strict=True)]
        ),
    }


def thing_light(scene: Scene, transport: Transport) -> Arrays:
    """Light at the crossings of those grids; each direction is divided by its largest, as in a chart."""
    faces = _faces(scene)
    if not len(faces) or transport.props is None:
        return {}
    cells = _cells(faces)
    hairs = np.minimum(_HAIR_M / np.maximum(_sides(faces), 2 * _HAIR_M), 0.5)
    places = np.concatenate(
        [
            _grid(
                face,
                [np.clip(share, hair, 1 - hair) for share, hair in zip(_shares(many), both, strict=True)],
            )
            for face, many, both in zip(faces.corners, cells, hairs, strict=True)
        ]
    )
    each = (cells + 1).prod(axis=1)
    found = prop_values(
        transport.props,
        transport.site,
        np.repeat(faces.surfaces, each),
        places,
        np.repeat(faces.normals, each, axis=0),
    )
    table = np.concatenate([values for values, _mix in found], axis=1)
    largest = np.abs(table).max(axis=0)
    largest[largest == 0] = 1.0
    return {
        "things.table": (table / largest).astype(np.float16),
        "things.mix": np.concatenate([mix for _values, mix in found]) * largest[:, None],
    }


def _faces(scene: Scene) -> Quads:
    """Those of things that can be seen: not what they stand on the floor with."""
    every = scene.faces
    lowest = every.corners[:, :, 1].max(axis=1)
    of_things = (every.surfaces >= len(SURFACES)) & (every.surfaces != UNSEEN)
    chosen = of_things & ~((every.normals[:, 1] < -0.9) & (lowest < _HAIR_M))
    return Quads(
        corners=every.corners[chosen], normals=every.normals[chosen], surfaces=every.surfaces[chosen]
    )


def _sides(faces: Quads) -> Floats:
    """(faces, 2) length of each face along its first and second side, the longer of two [m]."""
    around = np.linalg.norm(np.roll(faces.corners, -1, axis=1) - faces.corners, axis=2)
    return np.stack([around[:, 0::2].max(axis=1), around[:, 1::2].max(axis=1)], axis=1)


def _cells(faces: Quads) -> NDArray[np.intp]:
    return np.maximum(np.ceil(_sides(faces) / CELL_M - 1e-6), 1).astype(np.intp)


def _shares(many: NDArray[np.intp]) -> list[Floats]:
    return [np.linspace(0, 1, count + 1) for count in many]


def _grid(face: Floats, shares: list[Floats]) -> Floats:
    """(n, 3) places on a face (4, 3) at shares of its first side and of its second."""
    u, v = (one.ravel()[:, None] for one in np.meshgrid(*shares, indexing="ij"))
    return np.asarray(
        (1 - u) * (1 - v) * face[0] + u * (1 - v) * face[1] + u * v * face[2] + (1 - u) * v * face[3]
    )
