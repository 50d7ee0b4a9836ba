"""What a job chooses, the stated defaults put in: its finishes and lightings, and one of each by name."""

from typing import TypeVar

from finishes.choice import Finish
from meshes.light.lamps import Lamp, Lighting
from viewer.job.accepted import listed, nearest, shown
from viewer.job.model import Job
from viewer.job.reading import Problem

WINDOW_CD_M2 = 2000.0
"""Luminance of a window under an overcast sky: the order of a bright overcast one (common practice)."""


T = TypeVar("T")


class ChoiceError(ValueError):
    """A name that the job does not have; ``problems`` as everywhere."""

    def __init__(self, path: str, message: str) -> None:
        self.problems: tuple[Problem, ...] = ((path, message),)
        super().__init__(f"{path}: {message}")


def chosen_finish(job: Job) -> Finish:
    """The chosen finish: as given, else the first candidate, else the first of each kind in the catalogue."""
    if "finish" in job.model_fields_set or not job.finishes:
        return job.finish
    return job.finishes[0]


def candidates(job: Job) -> tuple[Finish, ...]:
    """The finishes to compare: those of the job, or the chosen one alone."""
    return job.finishes or (job.finish,)


def finish_label(finish: Finish, number: int) -> str:
    """What a finish is called where it has no name of its own: a letter by its place."""
    return finish.name or chr(ord("A") + number)


def finish_named(job: Job, name: str | None, path: str = "finish") -> Finish:
    """The candidate of that name (or letter), the chosen finish for None. Raises ``ChoiceError``."""
    if name is None:
        return chosen_finish(job)
    known = {finish_label(finish, number): finish for number, finish in enumerate(candidates(job))}
    if job.finish.name:
        known.setdefault(job.finish.name, job.finish)
    return _named(known, name, "finish", path)


def lighting_named(job: Job, name: str | None, path: str = "lighting") -> Lighting:
    """The lighting of that name, the first one for None. Raises ``ChoiceError``."""
    known = {lighting.name: lighting for lighting in lightings(job)}
    return _named(known, name, "lighting", path) if name is not None else next(iter(known.values()))


def _named(known: dict[str, T], name: str, what: str, path: str) -> T:
    if name in known:
        return known[name]
    close = nearest(name, known)
    offer = f"the nearest is {shown(close)}" if close else f"it has {listed(map(shown, known), last='and')}"
    raise ChoiceError(path, f"the job has no {what} {shown(name)}; {offer}")


def lightings(job: Job) -> tuple[Lighting, ...]:
    """The lightings of the job; without any, a day and an evening made to fit its room."""
    return job.lightings or (_day(job), _evening(job))


def _day(job: Job) -> Lighting:
    """A window in the left wall of the room, half its depth away from the slats."""
    height, depth = float(job.wall.height_mm), job.room.depth_mm
    across, up = min(1600.0, 0.5 * depth), min(1300.0, 0.5 * height)
    area_m2 = across * up / 1e6
    window = Lamp(
        name="window",
        centre_mm=(5 - job.room.beyond_left_mm, 0.58 * height, 0.5 * depth),
        size_mm=(across, up),
        faces="right",
        lumens=round(3.141592653589793 * WINDOW_CD_M2 * area_m2),
        spectrum="D65",
    )
    return Lighting(name="day", lamps=(window,))


def _evening(job: Job) -> Lighting:
    """A ceiling panel before the middle of the wall."""
    width, depth = float(job.wall.width_mm), job.room.depth_mm
    side = min(600.0, 0.3 * depth)
    panel = Lamp(
        name="ceiling panel",
        centre_mm=(width / 2, float(job.wall.height_mm) - 10, min(0.5 * depth, 1800.0)),
        size_mm=(side, side),
        faces="down",
        lumens=3000,
        spectrum="LED-B2",
    )
    return Lighting(name="evening", lamps=(panel,))
