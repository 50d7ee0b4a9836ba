"""The day and the evening of ``presets`` for walls that go round corners: windows and panels for all of them.

Plan with an outside corner: the window in the left side of the room does not reach the second wall, so there
is one in the side at that wall's end, too::

               |
        wall 2 |=== window
               |            |
    +----------+            |     . : panels, each wall's at its own distance
    |  wall 1      .        |
  window   .     .          |
    +-----------------------+
"""

from collections.abc import Sequence
from fractions import Fraction
from typing import get_args

import numpy as np

from meshes.light.checks import RAKING_MM, away_mm
from meshes.light.lamps import Lamp, Lighting
from meshes.light.placed import DIRECTIONS
from meshes.light.polygon import Array
from meshes.light.presets import (
    CLEAR_MM,
    MOST_PANELS,
    PANEL_EVERY_MM,
    PANEL_OUT_MM,
    PANEL_OUT_SHARE,
    Facing,
    day,
    evening,
    panel_places,
    window,
)
from meshes.light.room import Room
from meshes.light.round_corners import in_frame
from meshes.solids.room import Turn, footprint, frames, free

Length = float | Fraction
Panel = tuple[float, float, float, float]
"""Middle x, y, z of a ceiling panel and its side [mm]."""
SLATS_OUT_MM = 60.0
"""What slats and their boards are taken to stand out of a wall."""


def default_lightings_round(
    walls: Sequence[tuple[Length, Length]], turns: Sequence[Turn], room: Room
) -> tuple[Lighting, Lighting]:
    """``day`` and ``evening`` for walls of these widths and heights [mm], with the turns between them.

    Raises ValueError where the walls cannot stand in one closed room.
    """
    wide, height = [float(width) for width, _ in walls], float(max(high for _, high in walls))
    metres = [width / 1000 for width in wide]
    plan = 1000 * footprint(metres, turns, room)
    sides = {-1: "window"}
    if "outside" in turns and len(plan) > len(walls) + 1:
        sides[len(walls)] = "window round the corner"
    windows = [_window(name, plan, side, height, room) for side, name in sides.items()]
    most = max(1, MOST_PANELS // len(walls))
    placed = list(zip(wide, frames(metres, turns), strict=True))
    panels: list[Panel] = []
    raking: list[tuple[float, Panel]] = []
    for number, (width, frame) in enumerate(placed):
        others = placed[:number] + placed[number + 1 :]
        for panel in _panels(width, frame, plan, height, room.depth_mm, most):
            apart = all(np.hypot(panel[0] - x, panel[2] - z) >= PANEL_EVERY_MM / 2 for x, _, z, _ in panels)
            away = _away_mm(panel, others, height)
            if away < RAKING_MM:
                raking.append((away, panel))
            elif apart:
                panels.append(panel)
    # in a niche whose every panel rakes, the one that does so least: an evening has light
    return day(windows), evening(panels or [max(raking)[1]])


def _window(name: str, plan: Array, side: int, height: float, room: Room) -> Lamp:
    """In a side of the plan: that which closes it before the first wall, or that which meets the last."""
    start, end = plan[side], plan[(side + 1) % len(plan)]
    long = float(np.hypot(*(end - start)))
    along = (end - start) / long
    inward = np.array([-along[1], along[0]])
    away = min(0.5 * room.depth_mm, 0.5 * long)
    at = ((end - away * along if side == -1 else start + away * along) + CLEAR_MM * inward).round(6)
    faces: Facing = next(
        word for word in get_args(Facing) if np.allclose([DIRECTIONS[word][0], DIRECTIONS[word][2]], inward)
    )
    return window(name, (float(at[0]), float(at[1])), min(room.depth_mm, long), height, faces)


def _away_mm(panel: Panel, walls: Sequence[tuple[float, Array]], height: float) -> float:
    """How far a panel hangs from the slats of the nearest of the walls of these widths and frames."""
    x, y, z, side = panel
    corners = [[x + along * side / 2, y, z + out * side / 2] for along in (-1, 1) for out in (-1, 1)]
    found = (
        away_mm(in_frame(np.array(corners), frame), width, height, SLATS_OUT_MM) for width, frame in walls
    )
    return min(found, default=np.inf)


def _panels(width: float, frame: Array, plan: Array, height: float, depth: float, most: int) -> list[Panel]:
    """Middle and side of the panels before one wall, in the first wall's frame: none nearer to what stands
    opposite than to the wall.
    """
    places, side = panel_places(width, depth, most)
    found = []
    for place in places:
        tried = np.array([[place + share * side / 2, 0.0, 0.0] for share in (-1, 0, 1)])
        ground = (tried @ frame[:3, :3].T + 1000 * frame[:3, 3])[:, [0, 2]]
        way = frame[[0, 2], 2]
        deep = min(depth, *(1000 * free(plan / 1000, one / 1000, way) for one in ground))
        x, z = (ground[1] + min(PANEL_OUT_MM, PANEL_OUT_SHARE * deep) * way).tolist()
        found.append((x, height - CLEAR_MM, z, min(side, 0.5 * deep)))
    return found
