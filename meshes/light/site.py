"""The plain numbers that light is solved on: one wall, its room and its lamps, in a frame that follows the
slats.

Light frame [m]: a across the slats, b along them, z out of the wall. For upright slats of the first wall
(a, b, z) = (x, y, z); for level slats (a, b, z) = (y, x, z). The swap mirrors the room, which changes no
distance and no visibility. Walls round a corner have frames of their own.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.light.faces import Blocker, LampFace, solid_faces
from meshes.light.frame import Frame, Real, frame_of
from meshes.light.lamps import Lamp, Lighting
from meshes.light.lining import holes_of, lining_of
from meshes.light.placed import lamp_axes, lamp_corners, lamp_luminance
from meshes.light.plan import Plan, plan_of
from meshes.light.polygon import Array
from meshes.light.room import Room
from meshes.solids.props import PropBox

__all__ = ["LampFace", "Site", "lamp_axes", "lamp_corners", "lamp_luminance", "site", "sites"]

_FLAT_M = 0.06
"""A lamp whose back is this near to a surface of the room lies flat on it: no other lamp shines between."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Site:
    """One wall of slats in its closed room, in the light frame [m]."""

    level: bool
    frame: Frame
    box: Array
    """(3, 2): the wall's own extent in a and b, from corner to corner; z from the wall to the far end."""
    face: Array
    """(2, 2): lowest and highest a, b of the rectangle that slats and gaps fill."""
    body: Array
    """(2, 2): the same with trims and posts: all that stands out as far as the slats."""
    holes: Array
    """(n, 4): lowest a, b and highest a, b of the openings."""
    floors: Array
    """(n, 2): z of each opening's bottom, and 1 where that is a plate."""
    lining: Array
    """(n, 5): lowest a, b and highest a, b of what lines the wall beside the slats, and its class."""
    edges: Array
    """(4, classes): what the outer sides of the body are made of: a low, a high, b low, b high."""
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
    free: tuple[bool, ...]
    """Which lamps hang free and may stand in another's way."""
    notches: Array
    """(n, 2, 3): boxes of what is no room."""
    things: Array
    """(n, 2, 3): boxes of what stands in the room."""

    @property
    def depth(self) -> float:
        return self.front_z - self.fabric_z

    @property
    def solids(self) -> Array:
        """(n, 2, 3): everything that hides."""
        return np.concatenate([self.notches, self.things])

    def to_light(self, world: NDArray[Real]) -> NDArray[Real]:
        """World points (..., 3) in the light frame."""
        return self.frame.points(world)

    def blockers(self, number: int) -> tuple[Blocker, ...]:
        """What may stand in the way of lamp ``number``: solids, and all other lamps but those that lie flat
        on a surface of the room, which hide nothing but what is behind them.
        """
        hanging = zip(self.lamps, self.free, strict=True)
        lamps = tuple(lamp for other, (lamp, free) in enumerate(hanging) if other != number and free)
        return (*lamps, *solid_faces(self.notches, self.things))


def site(set_outs: Sequence[SetOut], room: Room, lighting: Lighting, things: Sequence[PropBox] = ()) -> Site:
    """The first wall of ``set_outs`` as plain numbers."""
    return sites(set_outs, room, lighting, things)[0]


def sites(
    set_outs: Sequence[SetOut], room: Room, lighting: Lighting, things: Sequence[PropBox] = ()
) -> tuple[Site, ...]:
    """All walls as plain numbers, each in its own frame. things : boxes in the world that stand in the room.

    Raises ValueError where the walls cannot stand in one closed room.
    """
    plan = plan_of(set_outs, room, lighting, things)
    return tuple(_wall(number, set_out, plan, room, lighting) for number, set_out in enumerate(set_outs))


def _wall(number: int, set_out: SetOut, plan: Plan, room: Room, lighting: Lighting) -> Site:
    level = set_out.run == "level"
    frame = frame_of(plan.world_from_wall[number], level=level)
    box = _box(number, plan, frame, level)
    axes = [1, 0] if level else [0, 1]
    given = set_out.face
    # slats that are swept to a ceiling are lit as if all went up to its highest point, as the room does
    head = given.top if set_out.sweep is None else set_out.sweep.highest
    face = np.array([[given.left, given.right], [given.bottom, head]], dtype=np.float64)[axes] / 1000
    face = np.clip(face, box[:2, :1], box[:2, 1:])
    body = face.copy()
    for strip in set_out.trims:
        rect = strip.rect
        corners = np.array([[rect.left, rect.right], [rect.bottom, rect.top]], float)[axes] / 1000
        touches = (corners[:, 0] <= face[:, 1] + 1e-6) & (corners[:, 1] >= face[:, 0] - 1e-6)
        if touches.all():
            body[:, 0] = np.minimum(body[:, 0], corners[:, 0])
            body[:, 1] = np.maximum(body[:, 1], corners[:, 1])
    skirting = None
    if set_out.skirting is not None:
        skirting = (float(set_out.skirting.height) / 1000, float(set_out.skirting_projection) / 1000)
    lamps = tuple(_lamp(lamp, frame) for lamp in lighting.lamps)
    given_room = room.reflectance
    lining, edges = lining_of(set_out, level=level)
    openings = holes_of(set_out, level=level)
    return Site(
        level=level,
        frame=frame,
        box=box,
        face=face,
        body=np.clip(body, box[:2, :1], box[:2, 1:]),
        holes=openings[:, :4],
        floors=openings[:, 4:],
        lining=lining,
        edges=edges,
        fabric_z=float(set_out.build_up.fabric_face) / 1000,
        front_z=float(set_out.build_up.total) / 1000,
        slat_width=float(set_out.slat_width) / 1000,
        gap=float(set_out.gap) / 1000,
        gap_left=_gaps(set_out, level, face),
        skirting=skirting,
        reflectance=(given_room.floor, given_room.ceiling, given_room.walls),
        lamps=lamps,
        free=tuple(not _lies_flat(lamp, plan) for lamp in lighting.lamps),
        notches=_boxes(plan.notches, frame),
        things=_boxes(plan.things, frame),
    )


def _box(number: int, plan: Plan, frame: Frame, level: bool) -> Array:
    """What belongs to one wall: from corner to corner, from floor to ceiling, and out to the far end."""
    start, end, _ = plan.edges[number]
    corners = np.array([[x, y, z] for x, z in (start, end) for y in (0.0, plan.height)])
    found = frame.points(corners)
    whole = frame.points(plan.box.T.copy())
    box = np.stack([found.min(axis=0), found.max(axis=0)], axis=1)
    box[2] = 0.0, whole[:, 2].max()
    return box


def _boxes(boxes: Array, frame: Frame) -> Array:
    moved = frame.points(boxes)
    return np.stack([moved.min(axis=1), moved.max(axis=1)], axis=1)


def _gaps(set_out: SetOut, level: bool, face: Array) -> Array:
    """Where each gap begins, and end gaps where they are as wide as half a gap."""
    extents = [slat.extent for slat in set_out.slats]
    lows = np.sort([float(e.bottom if level else e.left) for e in extents]) / 1000
    highs = np.sort([float(e.top if level else e.right) for e in extents]) / 1000
    gap = float(set_out.gap) / 1000
    lefts = highs[:-1]
    if len(lows) and lows[0] - face[0, 0] > 0.5 * gap > 0:
        lefts = np.concatenate([[lows[0] - gap], lefts])
    if len(highs) and face[0, 1] - highs[-1] > 0.5 * gap > 0:
        lefts = np.append(lefts, highs[-1])
    return np.asarray(lefts)


def _lamp(lamp: Lamp, frame: Frame) -> LampFace:
    _, _, normal = lamp_axes(lamp)
    return LampFace(
        name=lamp.name,
        corners=frame.points(lamp_corners(lamp)),
        normal=frame.directions(normal),
        luminance=lamp_luminance(lamp),
        lumens=lamp.dimmed_lumens,
    )


def _lies_flat(lamp: Lamp, plan: Plan) -> bool:
    """Whether a lamp's back lies on the surface of the room behind it."""
    corners, (_, _, normal) = lamp_corners(lamp), lamp_axes(lamp)
    if np.abs(normal).max() < 0.999:
        return False
    if abs(normal[1]) > 0.999:
        return bool(abs(corners[0, 1] - (0.0 if normal[1] > 0 else plan.height)) < _FLAT_M)
    middle = corners.mean(axis=0)[[0, 2]]
    for start, end, inward in plan.edges:
        along = end - start
        at = (middle - start) @ along / (along @ along)
        if inward @ normal[[0, 2]] > 0.999 and 0 <= at <= 1 and abs((middle - start) @ inward) < _FLAT_M:
            return True
    return False
