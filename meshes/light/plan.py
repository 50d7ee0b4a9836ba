"""The room that light moves in: its plan at the plane of the slats' fronts, and what stands in its way.

Plan of a room with an outside corner (z towards the reader's feet). The box of the exchange ends at the
fronts; what of the box lies behind a wall is a solid that hides::

    +-------------+----------+
    |  notch      f          |
    |             f  wall 2  |
    +ffffffffffff-+          |     f: fronts of the slats
    |   wall 1               |
    +------------------------+
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from meshes.layout.setout import SetOut
from meshes.light.lamps import Lighting
from meshes.light.placed import lamp_axes, lamp_corners
from meshes.light.polygon import Array
from meshes.light.room import Room
from meshes.solids.props import PropBox
from meshes.solids.room import footprint, frames, inside_plan, widths
from meshes.solids.section import metres

_THIN_M = 0.01
_SHADING_M2, _LAMP_THICK_M = 0.1, 0.004


def solid(things: Sequence[PropBox]) -> tuple[PropBox, ...]:
    """Those things that stand in the light's way; a card that lies flat on the slats does not."""
    sizes = [np.subtract(high, low) for low, high, _ in things]
    return tuple(thing for thing, size in zip(things, sizes, strict=True) if size.min() > _THIN_M)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """World metres. ``corners`` (n, 2): (x, z) of the plan at the fronts, edge k from corner k to the next;
    the first edges are the set-out walls, in their order.
    """

    corners: Array
    height: float
    world_from_wall: tuple[Array, ...]
    notches: Array
    """(k, 2, 3) boxes of what is no room inside the box round the plan."""
    things: Array
    """(m, 2, 3) boxes of what stands in the room."""
    hanging: Array
    """(k, 2, 3) thin boxes of the lamps that hang free and are large enough to shade the room."""

    @property
    def box(self) -> Array:
        """(3, 2): lowest and highest x, y, z."""
        (x0, z0), (x1, z1) = self.corners.min(axis=0), self.corners.max(axis=0)
        return np.array([[x0, x1], [0.0, self.height], [z0, z1]])

    @property
    def edges(self) -> list[tuple[Array, Array, Array]]:
        """Start, end (x, z) and inward normal (x, z) of each side of the plan."""
        found = []
        for start, end in zip(self.corners, np.roll(self.corners, -1, axis=0), strict=True):
            along = end - start
            found.append((start, end, np.array([-along[1], along[0]]) / np.hypot(*along)))
        return found


def plan_of(
    set_outs: Sequence[SetOut], room: Room, lighting: Lighting, things: Sequence[PropBox] = ()
) -> Plan:
    """The room round the walls, each wall moved in to the fronts of its slats.

    Raises ValueError where the walls cannot stand in one closed room.
    """
    turns = [one.turns for one in set_outs[1:] if one.turns != "first"]
    outline = footprint(widths(set_outs), turns, room)
    height = max(metres(one.wall_height) for one in set_outs)
    offset = np.zeros(len(outline))
    offset[: len(set_outs)] = [metres(one.build_up.total) for one in set_outs]
    corners = _moved_in(outline, offset)
    boxes = np.array([one[:2] for one in things], dtype=np.float64).reshape(-1, 2, 3)
    return Plan(
        corners=corners,
        height=height,
        world_from_wall=frames(widths(set_outs), turns),
        notches=_notches(corners, height),
        things=boxes,
        hanging=_hanging(lighting, corners, height),
    )


def _hanging(lighting: Lighting, corners: Array, height: float) -> Array:
    """Lamps that face along an axis, of a tenth of a square metre or more, and not close before a surface."""
    found = []
    for lamp in lighting.lamps:
        (first, second, normal), place = lamp_axes(lamp), lamp_corners(lamp)
        area = lamp.size_mm[0] * lamp.size_mm[1] * 1e-6
        square = all(np.abs(axis).max() > 0.999 for axis in (first, second, normal))
        if area < _SHADING_M2 or not square:
            continue
        axis = int(np.abs(normal).argmax())
        ends = np.array([0.0, height]) if axis == 1 else corners[:, axis // 2]
        if np.abs(ends - place[0, axis]).min() > 0.25 * np.sqrt(area):
            back = place - _LAMP_THICK_M * normal
            both = np.concatenate([place, back])
            found.append([both.min(axis=0), both.max(axis=0)])
    return np.array(found).reshape(-1, 2, 3)


def _moved_in(outline: Array, offset: Array) -> Array:
    """Each side of a plan along the axes moved inwards by its ``offset``; consecutive sides are square."""
    along = np.roll(outline, -1, axis=0) - outline
    inward = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.hypot(along[:, 0], along[:, 1])[:, None]
    shift = inward * offset[:, None]
    return np.asarray(outline + shift + np.roll(shift, 1, axis=0))


def _notches(corners: Array, height: float) -> Array:
    xs, zs = np.unique(corners[:, 0].round(9)), np.unique(corners[:, 1].round(9))
    found = [
        [[x0, 0.0, z0], [x1, height, z1]]
        for x0, x1 in pairwise(xs)
        for z0, z1 in pairwise(zs)
        if not inside_plan(corners, np.array([[(x0 + x1) / 2, (z0 + z1) / 2]]))[0]
    ]
    return np.array(found, dtype=np.float64).reshape(-1, 2, 3)
