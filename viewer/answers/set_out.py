"""The set-out of a job: every wall of it, and as it is printed."""

from typing import Any

from meshes.layout.placed import SetOut
from meshes.layout.report import walls_json
from meshes.layout.survey import Opening, Wall
from meshes.layout.walls import set_out_walls
from viewer.job.model import Job


def set_outs_of(job: Job) -> tuple[SetOut, ...]:
    """The walls of a checked job, set out, from the datum on round the corners."""
    return set_out_walls(
        wall=job.wall,
        openings=job.openings,
        zones=job.zones,
        slats=job.slats,
        panels=job.panels,
        next_walls=job.next_walls,
    )


def surveys_of(job: Job) -> tuple[tuple[Wall, tuple[Opening, ...]], ...]:
    """Each wall of a job as it was measured, with its openings, in the order of ``set_outs_of``."""
    return ((job.wall, job.openings), *((further.wall, further.openings) for further in job.next_walls))


def set_out_answer(job: Job) -> dict[str, Any]:
    """What ``slatwright set-out`` prints."""
    return {"name": job.name, **walls_json(set_outs_of(job))}
