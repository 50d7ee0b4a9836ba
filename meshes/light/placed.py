"""Lamps of the job file as rectangles in the world."""

import numpy as np

from meshes.light.lamps import Lamp
from meshes.light.polygon import Array

DIRECTIONS = {
    "down": (0.0, -1.0, 0.0),
    "up": (0.0, 1.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
    "wall": (0.0, 0.0, -1.0),
    "room": (0.0, 0.0, 1.0),
}


def lamp_axes(lamp: Lamp) -> tuple[Array, Array, Array]:
    """Unit vectors in world axes: along the first side, along the second side, out of the shining face."""
    faces = DIRECTIONS[lamp.faces] if isinstance(lamp.faces, str) else lamp.faces
    normal = np.asarray(faces, dtype=np.float64)
    normal = normal / np.linalg.norm(normal)
    if abs(normal[0]) > 0.999999:
        first = np.array([0.0, 0.0, 1.0])
    else:  # level where it can be: along x, turned into the plane of the face
        first = np.array([1.0, 0.0, 0.0]) - normal[0] * normal
        first /= np.linalg.norm(first)
    second = np.cross(normal, first)
    return first, second, normal


def lamp_corners(lamp: Lamp) -> Array:
    """The four corners of a lamp's face in world metres (4, 3)."""
    first, second, _ = lamp_axes(lamp)
    half_first = first * lamp.size_mm[0] / 2000
    half_second = second * lamp.size_mm[1] / 2000
    centre = np.asarray(lamp.centre_mm, dtype=np.float64) / 1000
    turns = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    return np.array([centre + u * half_first + v * half_second for u, v in turns])


def carried(lamp: Lamp, world_from_wall: Array) -> Lamp:
    """A lamp that is given in a wall's frame, in that of the first wall. world_from_wall : (4, 4) [m], as
    ``meshes.solids.room.frames`` gives it: turned by right angles about the upright axis.

    Raises ValueError for a lamp that faces askew: its sides would not stay level.
    """
    if not isinstance(lamp.faces, str):
        raise ValueError(f"{lamp.name}: expected a lamp that faces down, up, left, right, wall or room")
    turn = world_from_wall[:3, :3]
    centre = turn @ np.asarray(lamp.centre_mm) + 1000 * world_from_wall[:3, 3]
    towards = turn @ np.array(DIRECTIONS[lamp.faces])
    faces = next(word for word, way in DIRECTIONS.items() if np.allclose(way, towards))
    # the first side of what faces up or down lies along x
    across = lamp.faces in ("down", "up") and abs(turn[0, 0]) < 0.5
    size = lamp.size_mm[::-1] if across else lamp.size_mm
    return lamp.model_copy(
        update={"centre_mm": tuple(centre.round(6).tolist()), "faces": faces, "size_mm": size}
    )


def lamp_luminance(lamp: Lamp) -> float:
    """Luminance of a Lambertian face [cd/m2]: lumens, as dimmed, / (pi * area)."""
    return float(lamp.dimmed_lumens / (np.pi * lamp.size_mm[0] * lamp.size_mm[1] * 1e-6))
