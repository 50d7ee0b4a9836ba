"""The set-out of a job: every wall of it, and the first one as it is printed."""

from typing import Any

from meshes.layout.report import as_json
from meshes.layout.setout import SetOut, set_out
from viewer.job.model import Job


def set_outs_of(job: Job) -> tuple[SetOut, ...]:
    """The walls of a checked job, set out, from the datum on round the corners."""
    return (
        set_out(wall=job.wall, openings=job.openings, zones=job.zones, slats=job.slats, panels=job.panels),
    )


def set_out_answer(job: Job) -> dict[str, Any]:
    """What ``slatwright set-out`` prints."""
    (first, *_) = set_outs_of(job)
    return {"name": job.name, **as_json(first)}
