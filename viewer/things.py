"""What can stand in a picture beside the wall, by name, and what a picture should say of its lamps."""

from collections.abc import Sequence

from meshes.layout.rect import Rect
from meshes.layout.survey import Zone
from meshes.light.checks import warnings
from meshes.light.lamps import Lighting
from meshes.light.round_corners import raking_round
from meshes.solids.props import Extras
from viewer.answers.set_out import set_outs_of
from viewer.frame import THINGS
from viewer.job.model import Job

STEPS_MM = 0.3
"""Smallest step between slats that raking light shows (common practice)."""


def extras_of(job: Job, things: Sequence[str]) -> Extras:
    """The named things in the room of a job; furniture stands before its hidden zones."""
    hidden = tuple(tuple(map(_rect, _hidden(zones))) for zones in job.zones_by_wall)
    return Extras(
        hidden=hidden if "furniture" in things else (),
        figure="person" in things,
        card="card" in things,
        steps_mm=STEPS_MM if "steps" in things else 0.0,
        leaves="doors" in things,
    )


def things_in(job: Job) -> tuple[str, ...]:
    """Those things that would show in a picture of a job: furniture stands before hidden zones only, and
    doors open where the survey has their leaf.
    """
    openings = [*job.openings, *(opening for wall in job.next_walls for opening in wall.openings)]
    missing = {
        "furniture": not any(map(_hidden, job.zones_by_wall)),
        "doors": not any(opening.leaf for opening in openings),
    }
    return tuple(one for one in THINGS if not missing.get(one))


def _hidden(zones: Sequence[Zone]) -> list[Zone]:
    return [zone for zone in zones if zone.kind == "hidden"]


def _rect(zone: Zone) -> Rect:
    return Rect(left=zone.left_mm, bottom=zone.bottom_mm, width=zone.width_mm, height=zone.height_mm)


def raking_notes(job: Job, lighting: Lighting) -> list[str]:
    """A sentence for each lamp of a lighting that lies so near to the slats that their steps will show.

    A picture with ``steps`` shows them.
    """
    if job.next_walls:
        found = raking_round(set_outs_of(job), [after.turns for after in job.next_walls], [lighting])
    else:
        found = warnings(wall=job.wall, slats=job.slats, panels=job.panels, lightings=[lighting])
    return [f"{text[0].upper()}{text[1:]}." for _, text in found]
