"""The room of a job in plan and in a section of each wall, as polygons [mm]; lengths are the first wall's.

Plan: x to the right, z downwards, out of the first wall. Section of a wall, seen from its left: out of that
wall to the right, y upwards (so its sign turns)::

    +------------+---------------------+   ceiling      room: where the middle of the wall is cut
    |            |:                    |                rest: the room on, beside what is cut
    |    rest    |: slats    room      |
    |            |:                    |
    +------------+---------------------+   floor
"""

from collections.abc import Sequence
from dataclasses import dataclass
from gettext import gettext as _
from itertools import chain
from typing import Literal

import numpy as np

from meshes.layout.placed import SetOut
from meshes.light.room import Room
from meshes.solids.room import footprint, frames, free, widths
from viewer.answers.set_out import set_outs_of
from viewer.job.model import Job

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class WallInPlan:
    """Where a wall's left end stands, which way it goes and faces, each as (x, z), and how it is set out."""

    start: Point
    along: Point
    out: Point
    set_out: SetOut

    def point(self, along: float, out: float = 0.0) -> Point:
        """A place so far from the wall's left end and out of it, as (x, z)."""
        x, z = (self.start[k] + along * self.along[k] + out * self.out[k] for k in (0, 1))
        return _tidy(x), _tidy(z)

    @property
    def level(self) -> int:
        """Which of x and z lies across the wall: 0 or 1."""
        return 0 if self.out[0] else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A polygon. ``seen`` are slats beyond what is cut."""

    kind: Literal["rest", "room", "seen", "slats"]
    corners: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """``axes``: which of x, y, z go to the right and down, with ``signs``. ``names``: the number of a wall, a
    place on it, and the way behind it.
    """

    words: str
    axes: tuple[int, int]
    signs: tuple[float, float]
    shapes: tuple[Shape, ...]
    names: tuple[tuple[int, Point, Point], ...] = ()

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, width and height of all shapes."""
        across, down = zip(*chain.from_iterable(shape.corners for shape in self.shapes), strict=True)
        return min(across), min(down), max(across) - min(across), max(down) - min(down)


def walls_in_plan(job: Job) -> list[WallInPlan]:
    """The walls of a checked job, from the first on."""
    set_outs = set_outs_of(job)
    turns = [after.turns for after in job.next_walls]
    found = []
    for one, frame in zip(set_outs, frames(widths(set_outs), turns), strict=True):
        columns = 1000 * frame[:3, 3], frame[:3, 0], frame[:3, 2]
        start, along, out = ((_tidy(column[0]), _tidy(column[2])) for column in columns)
        found.append(WallInPlan(start=start, along=along, out=out, set_out=one))
    return found


def drawings(walls: Sequence[WallInPlan], room: Room) -> list[Drawing]:
    """The plan, and a section of every wall."""
    set_outs = [one.set_out for one in walls]
    turns = [one.turns for one in set_outs if one.turns != "first"]
    outline = tuple((_tidy(1000 * x), _tidy(1000 * z)) for x, z in footprint(widths(set_outs), turns, room))
    return [_plan(walls, outline), *(_section(number, walls, outline) for number in range(len(walls)))]


def _tidy(length: float) -> float:
    """Without the noise of metres, so that planes that are one compare as one."""
    return round(float(length), 3) + 0.0


def _plan(walls: Sequence[WallInPlan], outline: tuple[Point, ...]) -> Drawing:
    shapes, names = [Shape(kind="room", corners=outline)], []
    for number, wall in enumerate(walls, start=1):
        face, out = wall.set_out.face, float(wall.set_out.build_up.total)
        ends = float(face.left), float(face.right)
        corners = [wall.point(end) for end in ends] + [wall.point(end, out) for end in reversed(ends)]
        shapes.append(Shape(kind="slats", corners=tuple(corners)))
        middle = wall.point(float(wall.set_out.wall_width) / 2)
        names.append((number, middle, (-wall.out[0], -wall.out[1])))
    return Drawing(
        words=_("Plan, from above"),
        axes=(0, 2),
        signs=(1, 1),
        shapes=tuple(shapes),
        names=tuple(names) if len(walls) > 1 else (),
    )


def _section(number: int, walls: Sequence[WallInPlan], outline: tuple[Point, ...]) -> Drawing:
    wall, several = walls[number], len(walls) > 1
    axis, sign = wall.level, wall.out[wall.level]
    height = float(max(one.set_out.wall_height for one in walls))
    middle = wall.point(float(wall.set_out.wall_width) / 2)
    start = sign * middle[axis]
    far = _tidy(start + 1000 * free(np.array(outline) / 1000, np.array(middle) / 1000, np.array(wall.out)))
    ends = sorted(sign * corner[axis] for corner in outline)
    shapes, names = [], []
    if (ends[0], ends[-1]) != (start, far):
        shapes.append(_upright("rest", ends[0], ends[-1], 0.0, height))
    shapes.append(_upright("room", start, far, 0.0, height))
    for other, one in enumerate(walls, start=1):
        if one.level != axis:
            continue
        face, plane, faces = one.set_out.face, sign * one.start[axis], sign * one.out[axis]
        at = (middle[1 - axis] - one.start[1 - axis]) * one.along[1 - axis]
        cut = plane in (start, far) and face.left <= at <= face.right
        front = plane + faces * float(one.set_out.build_up.total)
        low, high = float(face.bottom), float(face.top)
        shapes.append(_upright("slats" if cut else "seen", plane, front, low, high))
        if cut and several:
            names.append((other, (plane, -(low + high) / 2), (-faces, 0.0)))
    words = _("Section of wall {number}, from its left") if several else _("Section, from the left")
    return Drawing(
        words=words.format(number=number + 1),
        axes=(2 * axis, 1),
        signs=(sign, -1),
        shapes=tuple(shapes),
        names=tuple(names),
    )


def _upright(
    kind: Literal["rest", "room", "seen", "slats"], one: float, other: float, low: float, high: float
) -> Shape:
    left, right = sorted((one, other))
    return Shape(kind=kind, corners=((left, -high), (right, -high), (right, -low), (left, -low)))
