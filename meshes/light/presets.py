"""A day and an evening for a job that says nothing about light: a window in the side wall, panels in the
ceiling.
"""

from fractions import Fraction

from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room

WINDOW_CD_M2 = 2500.0
"""Luminance of a window under a bright overcast sky, as a room sees it through glass (common practice)."""
PANEL_LUMENS = 3600.0
"""A 600 x 600 mm ceiling panel (common practice)."""
_PANEL_MM = 600.0
_PANEL_EVERY_MM = 2400.0
_CLEAR_MM = 10.0


def default_lightings(
    wall_width_mm: float | Fraction, wall_height_mm: float | Fraction, room: Room
) -> tuple[Lighting, ...]:
    """``day`` and ``evening`` for a wall in its room [mm]; every lamp fits into the smallest accepted
    room.
    """
    width, height, depth = float(wall_width_mm), float(wall_height_mm), float(room.depth_mm)
    return (_day(height, depth, room), _evening(width, height, depth))


def _day(height: float, depth: float, room: Room) -> Lighting:
    """A window in the left wall of the room, its sill at two fifths of the height."""
    deep = min(1600.0, 0.4 * depth)
    tall = min(1300.0, 0.5 * height)
    centre = (-room.beyond_left_mm + _CLEAR_MM, 0.4 * height + tall / 2, 0.5 * depth)
    return Lighting(
        name="day",
        lamps=(
            Lamp(
                name="window",
                centre_mm=centre,
                size_mm=(deep, tall),
                faces="right",
                lumens=round(3.14159 * WINDOW_CD_M2 * deep * tall * 1e-6),
                spectrum="D65",
            ),
        ),
    )


def _evening(width: float, height: float, depth: float) -> Lighting:
    """Square panels under the ceiling, one for each 2.4 m of wall, at most eight, 1.5 m off the wall."""
    count = max(1, min(8, round(width / _PANEL_EVERY_MM)))
    side = min(_PANEL_MM, 0.6 * width / count, 0.5 * depth)
    out = min(1500.0, 0.55 * depth)
    lumens = PANEL_LUMENS * (side / _PANEL_MM) ** 2
    lamps = [
        Lamp(
            name="ceiling panel" if count == 1 else f"ceiling panel {number + 1}",
            centre_mm=((number + 0.5) * width / count, height - _CLEAR_MM, out),
            size_mm=(side, side),
            faces="down",
            lumens=round(lumens, 1),
            spectrum="LED-B3",
        )
        for number in range(count)
    ]
    return Lighting(name="evening", lamps=tuple(lamps))
