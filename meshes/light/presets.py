"""A day and an evening for a job that says nothing about light: a window in the side wall, panels in the
ceiling. For walls that go round corners ``presets_round`` says where they go.
"""

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import Literal

from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room

WINDOW_CD_M2 = 2500.0
"""Luminance of a window under a bright overcast sky, as a room sees it through glass (common practice)."""
PANEL_LUMENS = 3600.0
"""A 600 x 600 mm ceiling panel (common practice)."""
PANEL_MM = 600.0
PANEL_EVERY_MM = 2400.0
PANEL_OUT_MM, PANEL_OUT_SHARE = 1500.0, 0.55
"""How far a panel hangs off the wall, and at most which share of the room before that wall."""
MOST_PANELS = 8
CLEAR_MM = 10.0
"""Between a lamp and the surface that it is in or under."""

HeightOver = Callable[[float, float], float]
Facing = Literal["left", "right", "wall", "room"]


def default_lightings(
    wall_width_mm: float | Fraction,
    wall_height_mm: float | Fraction,
    room: Room,
    height_over: HeightOver | None = None,
) -> tuple[Lighting, Lighting]:
    """``day`` and ``evening`` for a wall in its room [mm]; every lamp fits into the smallest accepted
    room.

    height_over : how high the room is between two places along the wall [mm], where its ceiling slopes.
    """
    width, height, depth = float(wall_width_mm), float(wall_height_mm), float(room.depth_mm)
    left = (-room.beyond_left_mm + CLEAR_MM, 0.5 * depth)
    places, side = panel_places(width, depth, MOST_PANELS)
    out = min(PANEL_OUT_MM, PANEL_OUT_SHARE * depth)
    panels = []
    for x in places:
        here = height_over(x - side / 2, x + side / 2) if height_over else height
        panels.append((x, here - CLEAR_MM, out, side))
    return day([window("window", left, depth, height, "right")]), evening(panels)


def day(windows: Iterable[Lamp]) -> Lighting:
    return Lighting(name="day", lamps=tuple(windows))


def window(name: str, at: tuple[float, float], long: float, height: float, faces: Facing) -> Lamp:
    """A window in a side of the room that is so long and so high, its sill at two fifths of the height.

    at : x and z of its middle [mm].
    """
    wide, tall = min(1600.0, 0.4 * long), min(1300.0, 0.5 * height)
    return Lamp(
        name=name,
        centre_mm=(at[0], 0.4 * height + tall / 2, at[1]),
        size_mm=(wide, tall),
        faces=faces,
        lumens=round(3.14159 * WINDOW_CD_M2 * wide * tall * 1e-6),
        spectrum="D65",
    )


def panel_places(width: float, depth: float, most: int) -> tuple[list[float], float]:
    """Where along a wall ceiling panels hang, one for each 2.4 m, and how large they are [mm]."""
    count = max(1, min(most, round(width / PANEL_EVERY_MM)))
    side = min(PANEL_MM, 0.6 * width / count, 0.5 * depth)
    return [(number + 0.5) * width / count for number in range(count)], side


def evening(panels: list[tuple[float, float, float, float]]) -> Lighting:
    """Square panels that shine down: each one's middle x, y, z, and its side [mm]."""
    lamps = [
        Lamp(
            name="ceiling panel" if len(panels) == 1 else f"ceiling panel {number}",
            centre_mm=(x, y, z),
            size_mm=(side, side),
            faces="down",
            lumens=round(PANEL_LUMENS * (side / PANEL_MM) ** 2, 1),
            spectrum="LED-B3",
        )
        for number, (x, y, z, side) in enumerate(panels, start=1)
    ]
    return Lighting(name="evening", lamps=tuple(lamps))
