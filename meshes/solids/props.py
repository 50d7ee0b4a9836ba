"""Grey things that can stand in the picture: furniture as blocks, a figure for scale, a white card.

They show size and tone, nothing else; sizes are common practice. All are closed solids of the words in
``meshes.surfaces.PROPS``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from meshes.layout.setout import Rect, SetOut
from meshes.solids.quads import Floats, Quads, boxes, joined
from meshes.solids.room import Turn, free
from meshes.solids.section import corners_m, metres
from meshes.surfaces import PROP_ID

_CLEAR_M = 0.02
"""Furniture stands this far off the slats, and keeps as far from the room's other walls."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Extras:
    """What stands in the picture besides the wall.

    hidden : for each wall the zones that furniture hides; figure : a person of 1.70 m; card : white card with
    grey scale at the middle of the slats; steps_mm : slats stand this much before or behind each other;
    leaves : doors whose leaf folds back before the slats stand open.
    """

    hidden: tuple[tuple[Rect, ...], ...] = ()
    figure: bool = False
    card: bool = False
    steps_mm: float = 0.0
    leaves: bool = False


class PropBox(NamedTuple):
    """Lowest and highest corner of a thing, or of a piece of it, in the world [m]."""

    low: tuple[float, float, float]
    high: tuple[float, float, float]
    body: int = -1
    """Boxes that stand for one rounded or turned body have its number; they throw no shadow on each other."""


def prop_parts(
    extras: Extras, set_outs: Sequence[SetOut], turns: Sequence[Turn], placed: Sequence[Floats], plan: Floats
) -> list[tuple[str, Quads]]:
    """Name and faces of each prop, in the first wall's frame. turns : between the walls; placed :
    ``world_from_wall`` (4, 4) of each; plan : (n, 2) corners of the room [m].
    """
    corners = [False, *(turn == "inside" for turn in turns), False]
    blocks = []
    for number, (zones, set_out) in enumerate(zip(extras.hidden, set_outs, strict=False)):
        face = metres(set_out.build_up.total)
        for zone in zones:
            slatted = (face * corners[number], face * corners[number + 1])
            sides, depth = _room_of(zone, placed[number], plan, slatted)
            if sides[1] - sides[0] > _CLEAR_M:
                blocks.append(furniture(zone, face, depth, sides).moved(placed[number]))
    found = [(f"block/{number}", faces) for number, faces in enumerate(blocks)]
    first = set_outs[0]
    if extras.figure:
        found.append(("figure/0", _figure(first, blocks, plan)))
    if extras.card:
        face = metres(first.build_up.total)
        found += [(f"card/{number}", faces) for number, faces in enumerate(_card(first, face))]
    return found


def _room_of(
    zone: Rect, frame: Floats, plan: Floats, slatted: tuple[float, float]
) -> tuple[tuple[float, float], float]:
    """From where to where furniture stands before a zone, along its wall, and how deep the room is there [m].
    slatted : how far slats stand out of the walls that meet this one, at its left and right.
    """
    left, _, right, _ = corners_m(zone)
    middle = (left + right) / 2
    way, out = frame[[0, 2], 0], frame[[0, 2], 2]
    places = [x * way + frame[[0, 2], 3] for x in (left, middle, right)]
    deep = min(free(plan, place, out) for place in places)
    low, high = (free(plan, places[1] + 0.01 * out, side * way) for side in (-1, 1))
    low, high = middle - low + slatted[0] + _CLEAR_M, middle + high - slatted[1] - _CLEAR_M
    return (max(left, low), min(right, high)), deep


def furniture(zone: Rect, face: float, depth: float, sides: tuple[float, float]) -> Quads:
    """The block that hides a zone; what it is follows from where the zone lies and how high it is.

    face : how far the slats stand out; depth : of the room; sides : where it begins and ends [m].

    ::

        screen   clear of the floor                    50 mm thick, hung before the slats
        bed      up to 0.60 m high, 1.2 m wide or more 2.0 m out into the room
        sofa     0.60 to 0.70 m, or narrower than 1.2  0.9 m out: seat and back
        desk     0.70 m and more                       a top 0.7 m deep on two sides
    """
    _, bottom, _, top = corners_m(zone)
    left, right = sides
    near = face + _CLEAR_M
    most = max(0.05, depth - near - _CLEAR_M)

    def box(x0: float, y0: float, z0: float, x1: float, y1: float, z1: float) -> Quads:
        low, high = np.array([[x0, y0, near + z0]]), np.array([[x1, y1, near + min(z1, most)]])
        return boxes(low, high, (PROP_ID["block"],) * 6)

    width, height = right - left, top - bottom
    if bottom > 0.3:
        return box(left, bottom, 0, right, top, 0.05)
    if height <= 0.60 and width >= 1.2:
        return box(left, 0, 0, right, top, 2.0)
    if height < 0.70:
        seat = min(0.42, 0.65 * top)
        return joined([box(left, 0, 0.2, right, seat, 0.9), box(left, 0, 0, right, top, 0.2 - 1e-4)])
    board = min(0.03, width / 8)
    ends = [box(x, 0, 0, x + board, top - board - 1e-4, 0.7) for x in (left, right - board)]
    return joined([box(left, top - board, 0, right, top, 0.7), *ends])


# Half width of the standing figure [m] by height [m], and how deep it is for its width: body, then head.
_BODY = (
    [
        [0.000, 0.105], [0.040, 0.108], [0.100, 0.080], [0.300, 0.090], [0.480, 0.102], [0.700, 0.140],
        [0.880, 0.166], [1.060, 0.158], [1.250, 0.188], [1.360, 0.200], [1.415, 0.180], [1.445, 0.110],
        [1.465, 0.068], [1.490, 0.060],
    ],
    0.55,
)  # fmt: skip
_HEAD = (
    [
        [1.4901, 0.057], [1.515, 0.066], [1.550, 0.076], [1.595, 0.080], [1.640, 0.075], [1.672, 0.060],
        [1.692, 0.035], [1.700, 0.012],
    ],
    1.15,
)  # fmt: skip
_FINER = 4
"""Rings between two given heights: the outline is drawn as a smooth curve through them."""
_SIDES = 32


def _figure(set_out: SetOut, blocks: Sequence[Quads], plan: Floats) -> Quads:
    """A person of 1.70 m, turned on a lathe and flattened: before the first wall's slats, where no furniture
    stands.
    """
    left, _, right, _ = corners_m(set_out.face)
    face = metres(set_out.build_up.total)
    ends = [(one.corners.min(axis=(0, 1)), one.corners.max(axis=(0, 1))) for one in blocks]
    taken = [(low[0] - 0.3, high[0] + 0.3) for low, high in ends if low[2] < 1.0 and high[2] > face]
    places = [left + share * (right - left) for share in (0.8, 0.5, 0.2, 0.95, 0.05)]
    clear = [place for place in places if not any(start < place < end for start, end in taken)]
    inside = float(plan[:, 0].min()), float(plan[:, 0].max())
    x = min(max((clear or places)[0], inside[0] + 0.35), inside[1] - 0.35)
    z = face + min(0.5, 0.5 * (free(plan, np.array([x, 0.0]), np.array([0.0, 1.0])) - face))
    return joined([_turned(np.array(outline), aspect, x, z) for outline, aspect in (_BODY, _HEAD)])


def _turned(outline: Floats, aspect: float, x: float, z: float) -> Quads:
    """A closed solid of elliptic rings. outline : (n, 2) height and half width [m], rising."""
    turn = 2 * np.pi * np.arange(_SIDES) / _SIDES
    heights, widths = np.split(_smooth(outline), 2, axis=1)
    rings = np.stack(
        [
            x + widths * np.cos(turn),
            np.repeat(heights, _SIDES, axis=1),
            z - aspect * widths * np.sin(turn),
        ],
        axis=-1,
    )
    below, above = rings[:-1], rings[1:]
    round_it = [below, np.roll(below, -1, axis=1), np.roll(above, -1, axis=1), above]
    sides = np.stack(round_it, axis=2).reshape(-1, 4, 3)
    corners = np.concatenate([sides, _lid(rings[-1]), _lid(rings[0])[:, ::-1]])
    normals = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    surfaces = np.full(len(corners), PROP_ID["figure"], np.uint8)
    return Quads(corners=corners, normals=normals, surfaces=surfaces)


def _smooth(outline: Floats) -> Floats:
    """A finer outline: the cubic through each point that leaves it along its two neighbours (Catmull-Rom)."""
    places = np.arange(len(outline))
    fine = np.linspace(0, len(outline) - 1, _FINER * (len(outline) - 1) + 1)
    lower = np.minimum(fine.astype(np.intp), len(outline) - 2)
    t = (fine - lower)[:, None]
    slope = np.gradient(outline, places, axis=0)
    start, end = outline[lower], outline[lower + 1]
    leave, arrive = slope[lower], slope[lower + 1]
    curve = (1 + 2 * t) * (1 - t) ** 2 * start + t * (1 - t) ** 2 * leave
    return np.asarray(curve + t**2 * (3 - 2 * t) * end + t**2 * (t - 1) * arrive)


_SLICES = 5


def stand_ins(corners: Floats) -> list[tuple[Floats, Floats]]:
    """Lowest and highest corners of the boxes that a thing is made of. corners : (n, 4, 3) of its faces, six
    for each box [m].

    What is round is cut level into slices, each a box as wide and as deep as gives the slice's own volume.
    """
    flat = np.abs(corners - corners.mean(axis=1, keepdims=True)).min(axis=(1, 2)) < 1e-9
    if flat.all() and len(corners) % 6 == 0:
        boxes_of = corners.reshape(-1, 24, 3)
        return list(zip(boxes_of.min(axis=1), boxes_of.max(axis=1), strict=True))
    points = corners.reshape(-1, 3)
    heights = np.linspace(points[:, 1].min(), points[:, 1].max(), _SLICES + 1)
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    found = []
    for low, high in pairwise(heights):
        inside = points[(points[:, 1] >= low - 1e-9) & (points[:, 1] <= high + 1e-9)]
        half = np.abs(inside - middle)[:, [0, 2]]
        levels = np.unique(inside[:, 1].round(6))
        rings = [half[np.abs(inside[:, 1] - level) < 1e-5].max(axis=0) for level in levels]
        wide, deep = np.mean(rings, axis=0) * np.sqrt(np.pi / 4)
        found.append(
            (
                np.array([middle[0] - wide, low, middle[2] - deep]),
                np.array([middle[0] + wide, high, middle[2] + deep]),
            )
        )
    return found


def _lid(ring: Floats) -> Floats:
    """A convex ring of an even number of corners as a row of quads, each between two opposite edges."""
    last = len(ring) - 1
    return np.array([[ring[k], ring[k + 1], ring[last - k - 1], ring[last - k]] for k in range(last // 2)])


def _card(set_out: SetOut, face: float) -> Sequence[Quads]:
    """White card, 0.2 m by 0.25, and under it six patches of a grey scale, flat before the slats."""
    left, bottom, right, top = corners_m(set_out.face)
    x, y = (left + right) / 2, (bottom + top) / 2
    rects = [("card_white", x - 0.1, y, x + 0.1, y + 0.25)]
    for number in range(6):
        at = x - 0.15 + 0.05 * number
        rects.append((f"grey_{number + 1}", at + 0.0005, y - 0.07, at + 0.0495, y - 0.01))
    return [
        boxes(np.array([[x0, y0, face]]), np.array([[x1, y1, face + 0.002]]), (PROP_ID[word],) * 6)
        for word, x0, y0, x1, y1 in rects
    ]
