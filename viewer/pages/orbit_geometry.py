"""The wall in its room as triangles for the orbit view, with what its shader needs to know at each corner.

Arrays, four corners a face, in the order of ``Quads``: ``position`` [m]; ``place`` [mm] across, out of and
along its slat, as the figure counts them; ``facing`` (x, y, z of the normal in 127ths, paint); ``slat``
(number of the slat among all, number of the wall), -1 for none.

A paint is what has a colour of its own: a surface word by its id, then, after the ids of grey things, the
colours that plates have of their own. Grey things are no part of it: see ``orbit_things``.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from meshes.scene_grain import slat_frames
from meshes.solids.scene import Scene
from meshes.surfaces import PROPS, SURFACES
from viewer.pages.orbit_container import Arrays
from viewer.plates import plate_numbers

FORMAT = 5
"""Stands in the addresses of geometry and light: raise it when what a browser kept is of no more use."""
FIRST_OWN = len(SURFACES) + len(PROPS)
"""Paint of the first colour that a plate has of its own."""
_STEP = 127


def geometry(scene: Scene) -> Arrays:
    """Corners of every face that can be seen, but those of grey things."""
    seen = np.flatnonzero(scene.faces.surfaces < len(SURFACES))
    part = scene.part_of[seen]
    slat = np.array([one.slat for one in scene.parts], np.int16)[part]
    wall = np.array([one.wall for one in scene.parts], np.int16)[part]
    corners, normals = scene.faces.corners[seen], scene.faces.normals[seen]
    origins, turns, _starts = slat_frames(scene)
    place = np.zeros_like(corners, dtype=np.float32)
    for number, turn in enumerate(turns):
        rows = np.flatnonzero((wall == number) & (slat >= 0))
        place[rows] = (corners[rows] - origins[slat[rows]][:, None]) @ turn
    facing = np.concatenate([np.round(normals * _STEP), paints(scene)[seen][:, None]], axis=1)
    return {
        "position": corners.reshape(-1, 3).astype(np.float32),
        "place": place.reshape(-1, 3),
        "facing": np.repeat(facing.astype(np.int8), 4, axis=0),
        "slat": np.repeat(np.stack([slat, wall], axis=1), 4, axis=0),
    }


def paints(scene: Scene) -> NDArray[np.int16]:
    """(faces,) paint of each face of a scene."""
    own = plate_numbers(scene)[scene.part_of]
    return np.where(own >= 0, FIRST_OWN + own, scene.faces.surfaces.astype(np.int16))


def facings(scene: Scene) -> list[tuple[NDArray[np.float64], int, int]]:
    """Which paints face which way: normals in the world, each with its paint and wall, -1 for the room."""
    seen = scene.faces.surfaces < len(SURFACES)
    walls = np.array([one.wall for one in scene.parts])[scene.part_of[seen]]
    kinds = np.stack([paints(scene)[seen], walls], axis=1)
    rows = np.concatenate([np.round(scene.faces.normals[seen], 2), kinds], axis=1)
    return [(row[:3], int(row[3]), int(row[4])) for row in np.unique(rows, axis=0)]


def fixed_paints(room: Sequence[float], plates: Sequence[NDArray[np.float64]]) -> dict[int, list[float]]:
    """Reflectance (41) of every paint that no finish changes. room : of floor, ceiling and walls."""
    found = {paint: [value] * 41 for paint, value in enumerate(room, len(SURFACES) - len(room))}
    return found | {
        FIRST_OWN + number: [round(float(one), 5) for one in spectrum]
        for number, spectrum in enumerate(plates)
    }
