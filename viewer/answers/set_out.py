"""The set-out of a job: every wall of it, and as it is printed."""

from typing import Any

from meshes.layout.report import walls_json
from meshes.layout.survey import Opening, Wall
from viewer.job.model import Job
from viewer.job.set_outs import set_outs_of

__all__ = ["set_out_answer", "set_outs_of", "surveys_of"]


def surveys_of(job: Job) -> tuple[tuple[Wall, tuple[Opening, ...]], ...]:
    """Each wall of a job as it was measured, with its openings, in the order of ``set_outs_of``."""
    return ((job.wall, job.openings), *((further.wall, further.openings) for further in job.next_walls))


def set_out_answer(job: Job) -> dict[str, Any]:
    """What ``slatwright set-out`` prints."""
    return {"name": job.name, **walls_json(set_outs_of(job))}
