"""The plain numbers that light is solved on: one wall, its room and its lamps, in a frame that follows the
slats.

Light frame [m]: a across the slats, b along them, z out of the wall. For upright slats (a, b, z) = (x, y,
z); for level slats (a, b, z) = (y, x, z). The swap mirrors the room, which changes no distance and no
visibility.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.light.lamps import Lamp, Lighting
from meshes.light.polygon import Array
from meshes.light.room import Room

Real = TypeVar("Real", bound=np.floating[Any])

_FLAT_M = 0.06
"""A lamp whose back is this near to a surface of the room lies flat on it: no other lamp shines between."""

DIRECTIONS = {
    "down": (0.0, -1.0, 0.0),
    "up": (0.0, 1.0, 0.0),
    "left": (-1.0, 0.0, 0.0),
    "right": (1.0, 0.0, 0.0),
    "wall": (0.0, 0.0, -1.0),
    "room": (0.0, 0.0, 1.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class LampFace:
    """A lamp's shining face: ``corners`` (4, 3) and unit ``normal`` (3,) in the light frame [m]."""

    name: str
    corners: Array
    normal: Array
    luminance: float
    """[cd/m2]"""
    lumens: float


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


def lamp_luminance(lamp: Lamp) -> float:
    """Luminance of a Lambertian face [cd/m2]: lumens, as dimmed, / (pi * area)."""
    return float(lamp.dimmed_lumens / (np.pi * lamp.size_mm[0] * lamp.size_mm[1] * 1e-6))


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One wall of slats in its closed room, in the light frame [m]."""

    level: bool
    box: Array
    """(3, 2): lowest and highest a, b, z of the room."""
    face: Array
    """(2, 2): lowest and highest a, b of the rectangle that slats and gaps fill."""
    body: Array
    """(2, 2): the same with trims and posts: all that stands out as far as the slats."""
    holes: Array
    """(n, 4): lowest a, b and highest a, b of the openings that plates lie in."""
    fabric_z: float
    front_z: float
    slat_width: float
    gap: float
    gap_left: Array
    """(gaps,) where each gap begins, rising: those between two slats, and end gaps as wide."""
    skirting: tuple[float, float] | None
    """Height and projection of the skirting, if any of it shows."""
    reflectance: tuple[float, float, float]
    """Floor, ceiling, walls."""
    lamps: tuple[LampFace, ...]

    @property
    def depth(self) -> float:
        return self.front_z - self.fabric_z

    def to_light(self, world: NDArray[Real]) -> NDArray[Real]:
        """World coordinates or directions (..., 3) in the light frame, and back again."""
        return world[..., [1, 0, 2]] if self.level else world

    def blockers(self, number: int) -> tuple[LampFace, ...]:
        """The lamps that may stand in the way of lamp ``number``: all others, but those that lie flat on a
        surface of the room, which hide nothing but what is behind them.
        """
        return tuple(
            lamp for other, lamp in enumerate(self.lamps) if other != number and not self._lies_flat(lamp)
        )

    def _lies_flat(self, lamp: LampFace) -> bool:
        axis = int(np.argmax(np.abs(lamp.normal)))
        if abs(lamp.normal[axis]) < 0.999:
            return False
        behind = self.box[axis, 0 if lamp.normal[axis] > 0 else 1]
        return bool(abs(lamp.corners[0, axis] - behind) < _FLAT_M)

    @property
    def reflectance_of_face(self) -> dict[tuple[int, int], float]:
        """Reflectance by (axis, side) of the box; side 0 is the lowest, 1 the highest."""
        floor, ceiling, walls = self.reflectance
        up = 0 if self.level else 1
        found = {(axis, side): walls for axis in range(3) for side in range(2)}
        return {**found, (up, 0): floor, (up, 1): ceiling}


def site(set_outs: Sequence[SetOut], room: Room, lighting: Lighting) -> Site:
    """The first wall of ``set_outs`` as plain numbers."""
    set_out = set_outs[0]
    level = set_out.run == "level"
    axes = [1, 0, 2] if level else [0, 1, 2]
    width, height = float(set_out.wall_width) / 1000, float(set_out.wall_height) / 1000
    box = np.array(
        [
            [-room.beyond_left_mm / 1000, width + room.beyond_right_mm / 1000],
            [0.0, height],
            [0.0, room.depth_mm / 1000],
        ]
    )
    face = np.array(
        [
            [float(set_out.face.left), float(set_out.face.right)],
            [float(set_out.face.bottom), float(set_out.face.top)],
        ]
    )
    extents = [slat.extent for slat in set_out.slats]
    lows = np.sort([float(e.bottom if level else e.left) for e in extents]) / 1000
    highs = np.sort([float(e.top if level else e.right) for e in extents]) / 1000
    face = face[axes[:2]] / 1000
    gap = float(set_out.gap) / 1000
    lefts = highs[:-1]
    if len(lows) and lows[0] - face[0, 0] > 0.5 * gap > 0:
        lefts = np.concatenate([[lows[0] - gap], lefts])
    if len(highs) and face[0, 1] - highs[-1] > 0.5 * gap > 0:
        lefts = np.append(lefts, highs[-1])
    body = face.copy()
    for strip in set_out.trims:
        corners = np.array([[strip.rect.left, strip.rect.right], [strip.rect.bottom, strip.rect.top]], float)
        corners = corners[axes[:2]] / 1000
        touches = (corners[:, 0] <= face[:, 1] + 1e-6) & (corners[:, 1] >= face[:, 0] - 1e-6)
        if touches.all():
            body[:, 0] = np.minimum(body[:, 0], corners[:, 0])
            body[:, 1] = np.maximum(body[:, 1], corners[:, 1])
    holes = np.array(
        [[p.rect.left, p.rect.bottom, p.rect.right, p.rect.top] for p in set_out.plates], dtype=np.float64
    ).reshape(-1, 4)
    if level:
        holes = holes[:, [1, 0, 3, 2]]
    skirting = None
    if set_out.skirting is not None:
        skirting = (float(set_out.skirting.height) / 1000, float(set_out.skirting_projection) / 1000)
    lamps = []
    for lamp in lighting.lamps:
        _, _, normal = lamp_axes(lamp)
        corners = lamp_corners(lamp)[:, axes]
        lamps.append(
            LampFace(
                name=lamp.name,
                corners=corners,
                normal=normal[axes],
                luminance=lamp_luminance(lamp),
                lumens=lamp.dimmed_lumens,
            )
        )
    reflectance = room.reflectance
    return Site(
        level=level,
        box=box[axes],
        face=face,
        body=np.clip(body, box[axes[:2], :1], box[axes[:2], 1:]),
        holes=holes / 1000,
        fabric_z=float(set_out.build_up.fabric_face) / 1000,
        front_z=float(set_out.build_up.total) / 1000,
        slat_width=float(set_out.slat_width) / 1000,
        gap=gap,
        gap_left=lefts,
        skirting=skirting,
        reflectance=(reflectance.floor, reflectance.ceiling, reflectance.walls),
        lamps=tuple(lamps),
    )
