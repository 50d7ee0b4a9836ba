"""Lamps in a room whose walls go round corners: whether they stand in its plan, and before which slats.

For one wall the room is a box, and ``meshes.light.checks`` says the same in its terms. Lamps are given in the
first wall's frame, whatever wall they light.
"""

from collections.abc import Sequence

import numpy as np

from meshes.layout.setout import SetOut
from meshes.light.checks import Problem, away_mm, raking_words, readable
from meshes.light.lamps import Lamp, Lighting
from meshes.light.polygon import Array
from meshes.light.room import Room
from meshes.light.site import lamp_axes, lamp_corners
from meshes.solids.room import Turn, footprint, frames, free, inside_plan, widths
from meshes.solids.section import metres

_TOUCH_MM = 0.5
_SHARES = np.linspace(0, 1, 9)
"""Places across and along a lamp that are asked for: all of it must be in the room."""


def check_round(
    set_outs: Sequence[SetOut], turns: Sequence[Turn], room: Room, lightings: Sequence[Lighting]
) -> list[Problem]:
    """Every lamp outside the room, in the slats of a wall, or before a surface that it faces.

    turns : between each wall and the next. Lamps that face nowhere are left to ``checks.check``.
    """
    plan = 1000 * footprint(widths(set_outs), turns, room)
    height = 1000 * max(metres(one.wall_height) for one in set_outs)
    placed = frames(widths(set_outs), turns)
    problems: list[Problem] = []
    for number, lighting in enumerate(lightings):
        for place, lamp in enumerate(lighting.lamps):
            if readable(lamp):
                path = f"lightings[{number}].lamps[{place}]"
                problems += _lamp(path, lamp, plan, height, list(zip(set_outs, placed, strict=True)))
    return problems


def raking_round(
    set_outs: Sequence[SetOut], turns: Sequence[Turn], lightings: Sequence[Lighting]
) -> list[Problem]:
    """What is worth saying of lamps near to the slats of any of the walls: as ``checks.warnings`` for one."""
    placed = frames(widths(set_outs), turns)
    found = []
    for number, lighting in enumerate(lightings):
        for place, lamp in enumerate(lighting.lamps):
            if not readable(lamp):
                continue
            for wall, (one, frame) in enumerate(zip(set_outs, placed, strict=True), start=1):
                away = away_mm(
                    in_frame(1000 * lamp_corners(lamp), frame),
                    1000 * metres(one.wall_width),
                    1000 * metres(one.wall_height),
                    float(one.build_up.total),
                )
                path = f"lightings[{number}].lamps[{place}].centre_mm"
                found += [(path, words) for words in raking_words(lamp, away, f"the slats of wall {wall}")]
    return found


def in_frame(points: Array, frame: Array) -> Array:
    """Points (n, 3) [mm] of the world in the frame of a wall, ``world_from_wall`` [m]."""
    local: Array = (points - 1000 * frame[:3, 3]) @ frame[:3, :3]
    return local


def _lamp(
    path: str, lamp: Lamp, plan: Array, height: float, walls: Sequence[tuple[SetOut, Array]]
) -> list[Problem]:
    corners = 1000 * lamp_corners(lamp)
    low, high = float(corners[:, 1].min()), float(corners[:, 1].max())
    if low < -_TOUCH_MM or high > height + _TOUCH_MM:
        message = (
            f"{lamp.name} reaches from {low:g} to {high:g} mm along y, outside the room's 0 to {height:g}"
        )
        return [(f"{path}.centre_mm", message)]
    if not _inside(corners, plan):
        shown = ", ".join(f"({x:g}, {z:g})" for x, z in plan.round(1))
        message = f"{lamp.name} reaches out of the room, whose corners (x, z) lie at {shown} mm"
        return [(f"{path}.centre_mm", message)]
    _, _, normal = lamp_axes(lamp)
    centre = np.asarray(lamp.centre_mm, dtype=np.float64)
    blind = _ahead(centre, normal, plan, height) < 2
    for number, (one, frame) in enumerate(walls, start=1):
        face, width = float(one.build_up.total), 1000 * metres(one.wall_width)
        local = in_frame(corners, frame)
        over, nearest = local[:, 0].min() < width and local[:, 0].max() > 0, float(local[:, 2].min())
        if over and -_TOUCH_MM <= nearest < face - _TOUCH_MM:
            message = (
                f"{lamp.name} reaches to {max(0.0, nearest):g} mm from wall {number}, into the slats, whose"
                f" faces stand {face:g} mm out of it; keep its nearest edge beyond that"
            )
            return [(f"{path}.centre_mm", message)]
        flush = nearest >= -_TOUCH_MM and local[:, 2].max() <= face + _TOUCH_MM
        blind = blind or bool(over and flush and normal @ frame[:3, 2] < -0.999)
    if blind:
        message = f"{lamp.name} faces away from the room; turn it round or move it off the surface it faces"
        return [(f"{path}.faces", message)]
    return []


def _inside(corners: Array, plan: Array) -> bool:
    """Whether a lamp (4, 3) lies in the plan (n, 2) (x, z); one may be flush with a side."""
    first, second = corners[1] - corners[0], corners[3] - corners[0]
    across, along = (grid.ravel()[:, None] for grid in np.meshgrid(_SHARES, _SHARES))
    points = (corners[0] + across * first + along * second)[:, [0, 2]]
    start, end = plan, np.roll(plan, -1, axis=0)
    side = end - start
    share = np.clip(((points[:, None] - start) * side).sum(axis=2) / (side**2).sum(axis=1), 0, 1)
    off = np.linalg.norm(start + share[..., None] * side - points[:, None], axis=2).min(axis=1)
    return bool((inside_plan(plan, points) | (off <= _TOUCH_MM)).all())


def _ahead(centre: Array, normal: Array, plan: Array, height: float) -> float:
    """How far light goes on from a place in the room to a side of it, the floor or the ceiling [mm].

    plan : corners (n, 2) of the room as (x, z), anticlockwise about it as ``footprint`` gives them.
    """
    up = np.inf
    if abs(normal[1]) > 1e-9:
        up = (height * (normal[1] > 0) - centre[1]) / normal[1]
    return min(float(up), 1000 * free(plan / 1000, centre[[0, 2]] / 1000, normal[[0, 2]]))
