"""Lightings to begin with, made to fit a wall in its room. Lumens and places are common practice."""

from collections.abc import Mapping, Sequence
from gettext import gettext as _

from meshes.light.lamps import Lamp, Lighting
from meshes.light.placed import carried
from meshes.solids.room import frames
from viewer.job.choices import made_to_fit
from viewer.job.model import Job

LATE_SHARE = 0.1
"""Of a window's light by day that is left an hour before dusk."""
STRIP_LUMENS_A_METRE = 800.0
STRIP_WIDE_MM, STRIP_OUT_MM, CLEAR_MM = 40.0, 300.0, 12.0
FLOOR_LAMP_LUMENS, FLOOR_LAMP_MM = 450.0, 250.0


def presets(job: Job) -> Mapping[str, tuple[str, Lighting]]:
    """By key: what it is called on the page, and the lighting."""
    day, evening = made_to_fit(job)
    windows = tuple(one.model_copy(update={"spectrum": "daylight window"}) for one in day.lamps)
    late = tuple(
        one.model_copy(
            update={"spectrum": "late daylight window", "lumens": round(one.lumens * LATE_SHARE, 1)}
        )
        for one in windows
    )
    panels = tuple(lamp.model_copy(update={"spectrum": "3000 K LED, CRI 80"}) for lamp in evening.lamps)
    return {
        "day": (_("A window by day"), Lighting(name="day", lamps=windows)),
        "late": (_("The same window late in the day"), Lighting(name="late day", lamps=late)),
        "evening": (_("Panels in the ceiling"), Lighting(name="evening", lamps=panels)),
        "grazing": (_("A strip of light down the slats"), Lighting(name="grazing", lamps=_strips(job))),
        "lamp": (_("A lamp beside the wall"), Lighting(name="lamp", lamps=(_floor_lamp(job),))),
    }


def _strips(job: Job) -> tuple[Lamp, ...]:
    """Under the ceiling before each wall, clear of one another in inside corners."""
    walls = [job.wall, *(after.wall for after in job.next_walls)]
    turns = [after.turns for after in job.next_walls]
    wide = [float(wall.width_mm) for wall in walls]
    height, out = max(float(wall.height_mm) for wall in walls), min(STRIP_OUT_MM, 0.5 * job.room.depth_mm)
    found = []
    for number, (width, frame) in enumerate(
        zip(wide, frames([one / 1000 for one in wide], turns), strict=True)
    ):
        start, end = (
            max(0.05 * width, out + STRIP_WIDE_MM if meets else 0.0) for meets in _ends(number, turns)
        )
        long = width - start - end
        if long < STRIP_WIDE_MM:
            continue
        strip = Lamp(
            name="strip" if len(walls) == 1 else f"strip {number + 1}",
            centre_mm=(start + long / 2, height - CLEAR_MM, out),
            size_mm=(long, STRIP_WIDE_MM),
            faces="down",
            lumens=round(STRIP_LUMENS_A_METRE * long / 1000, 1),
            spectrum="2700 K LED, CRI 90",
        )
        found.append(carried(strip, frame))
    return tuple(found)


def _ends(number: int, turns: Sequence[str]) -> tuple[bool, bool]:
    """Whether a wall meets another in an inside corner, at its left and at its right end."""
    around = ["", *turns, ""]
    return around[number] == "inside", around[number + 1] == "inside"


def _floor_lamp(job: Job) -> Lamp:
    width, height = float(job.wall.width_mm), float(job.wall.height_mm)
    side = min(FLOOR_LAMP_MM, 0.2 * width, 0.2 * height)
    return Lamp(
        name="shade",
        centre_mm=(0.8 * width, min(1500.0, 0.6 * height), min(800.0, 0.5 * job.room.depth_mm)),
        size_mm=(side, side),
        faces="wall",
        lumens=FLOOR_LAMP_LUMENS,
        spectrum="filament lamp",
    )
