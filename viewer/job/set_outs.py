"""The walls of a job, set out once for one and the same job: the check needs them, then every answer."""

from functools import lru_cache

from meshes.layout.placed import SetOut
from meshes.layout.walls import set_out_walls
from viewer.job.model import Job

JOBS_HELD = 8


class _Same:
    """A job that equals itself alone: equal lengths may have been written differently."""

    def __init__(self, job: Job) -> None:
        self.job = job

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.job is self.job

    def __hash__(self) -> int:
        return id(self.job)


@lru_cache(maxsize=JOBS_HELD)
def _made(same: _Same) -> tuple[SetOut, ...]:
    job = same.job
    return set_out_walls(
        wall=job.wall,
        openings=job.openings,
        zones=job.zones,
        slats=job.slats,
        panels=job.panels,
        next_walls=job.next_walls,
    )


def set_outs_of(job: Job) -> tuple[SetOut, ...]:
    """The walls of a job whose parts check, set out, from the datum on round the corners.

    Raises ``NothingFitsError``, which a job that checks as a whole never does.
    """
    return _made(_Same(job))
