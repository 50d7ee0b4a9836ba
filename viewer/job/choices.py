"""What a job chooses, the stated defaults put in: its finishes and lightings, and one of each by name."""

from fractions import Fraction
from functools import partial
from typing import TypeVar

from finishes.choice import Finish
from meshes.layout.levels import height_over
from meshes.layout.survey import Wall
from meshes.light.lamps import Lighting
from meshes.light.presets import default_lightings
from viewer.job.accepted import listed, nearest, shown
from viewer.job.model import Job
from viewer.job.reading import Problem

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


def finish_place(job: Job, name: str | None) -> str:
    """Where the finish of that name stands in the job: ``finish`` or ``finishes[2]``."""
    finish = finish_named(job, name)
    if finish is job.finish:
        return "finish"
    return f"finishes[{next(number for number, one in enumerate(job.finishes) if one is finish)}]"


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
    return job.lightings or made_to_fit(job)


def _height(wall: Wall, start: float, end: float) -> float:
    return float(height_over(wall, Fraction(start), Fraction(end)))


def made_to_fit(job: Job) -> tuple[Lighting, Lighting]:
    """A day and an evening for the walls of a job in its room."""
    if not job.next_walls:
        return default_lightings(job.wall.width_mm, job.wall.height_mm, job.room, partial(_height, job.wall))
    from meshes.light.presets_round import default_lightings_round  # brings numpy

    walls = [job.wall, *(after.wall for after in job.next_walls)]
    return default_lightings_round(
        [(wall.width_mm, wall.height_mm) for wall in walls],
        [after.turns for after in job.next_walls],
        job.room,
    )
