"""Lightings to begin with, made to fit a wall in its room. Lumens and places are common practice."""

from collections.abc import Mapping
from gettext import gettext as _

from meshes.light.lamps import Lamp, Lighting
from meshes.light.presets import default_lightings
from viewer.job.model import Job

LATE_SHARE = 0.1
"""Of a window's light by day that is left an hour before dusk."""
STRIP_LUMENS_A_METRE = 800.0
STRIP_WIDE_MM, STRIP_OUT_MM, CLEAR_MM = 40.0, 300.0, 12.0
FLOOR_LAMP_LUMENS, FLOOR_LAMP_MM = 450.0, 250.0


def presets(job: Job) -> Mapping[str, tuple[str, Lighting]]:
    """By key: what it is called on the page, and the lighting."""
    day, evening = default_lightings(job.wall.width_mm, job.wall.height_mm, job.room)
    window = day.lamps[0].model_copy(update={"spectrum": "daylight window"})
    late = window.model_copy(
        update={"spectrum": "late daylight window", "lumens": round(window.lumens * LATE_SHARE, 1)}
    )
    panels = tuple(lamp.model_copy(update={"spectrum": "3000 K LED, CRI 80"}) for lamp in evening.lamps)
    return {
        "day": (_("A window by day"), Lighting(name="day", lamps=(window,))),
        "late": (_("The same window late in the day"), Lighting(name="late day", lamps=(late,))),
        "evening": (_("Panels in the ceiling"), Lighting(name="evening", lamps=panels)),
        "grazing": (_("A strip of light down the slats"), Lighting(name="grazing", lamps=(_strip(job),))),
        "lamp": (_("A lamp beside the wall"), Lighting(name="lamp", lamps=(_floor_lamp(job),))),
    }


def _strip(job: Job) -> Lamp:
    width, height = float(job.wall.width_mm), float(job.wall.height_mm)
    long = 0.9 * width
    return Lamp(
        name="strip",
        centre_mm=(width / 2, height - CLEAR_MM, min(STRIP_OUT_MM, 0.5 * job.room.depth_mm)),
        size_mm=(long, STRIP_WIDE_MM),
        faces="down",
        lumens=round(STRIP_LUMENS_A_METRE * long / 1000, 1),
        spectrum="2700 K LED, CRI 90",
    )


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
