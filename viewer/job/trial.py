"""The last check of a job: its walls are set out and must stand in one room."""

from itertools import combinations

from meshes.layout.placed import SetOut
from meshes.layout.setout import NothingFitsError
from viewer.job.model import Job
from viewer.job.reading import Problem
from viewer.job.set_outs import set_outs_of

Side = tuple[list[float], list[float]]

MOST_INSIDE, MOST_OUTSIDE = 2, 1
"""More corners of one kind than of the other: beyond these the walls of one closed room meet themselves."""


def _turn_problems(job: Job) -> list[Problem]:
    inside = sum(1 if after.turns == "inside" else -1 for after in job.next_walls)
    if -MOST_OUTSIDE <= inside <= MOST_INSIDE:
        return []
    message = (
        "these corners do not leave one closed room; expected at most two more inside than outside corners, "
        "or one more outside than inside"
    )
    return [("next_walls", message)]


def _plan_problems(job: Job, set_outs: tuple[SetOut, ...]) -> list[Problem]:
    """Walls that come back to or across each other: no room has such a plan."""
    if not job.next_walls:
        return []
    from meshes.solids.room import footprint, widths  # brings numpy: only for walls that go round a corner

    corners = (
        footprint(widths(set_outs), [after.turns for after in job.next_walls], job.room).round(6).tolist()
    )
    sides = list(zip(corners, [*corners[1:], corners[0]], strict=True))
    count = len(sides)
    for one, other in combinations(range(count), 2):
        neighbours = other - one == 1 or other - one == count - 1
        if sides[one][0] == sides[one][1] or (not neighbours and _touch(sides[one], sides[other])):
            message = "these walls meet or cross each other; expected walls that stand round one room"
            return [("next_walls", message)]
    return []


def _lamp_problems(job: Job, set_outs: tuple[SetOut, ...]) -> list[Problem]:
    """Lamps that are not in the room of walls round corners; for one wall the cross checks have said so."""
    if not job.next_walls:
        return []
    from meshes.light.round_corners import check_round

    return check_round(set_outs, [after.turns for after in job.next_walls], job.room, job.lightings)


def _touch(one: Side, other: Side) -> bool:
    """Whether two sides along x or z have a point in common: just when their bounding boxes have one."""
    return all(
        max(min(one[0][axis], one[1][axis]), min(other[0][axis], other[1][axis]))
        <= min(max(one[0][axis], one[1][axis]), max(other[0][axis], other[1][axis]))
        for axis in (0, 1)
    )


def set_out_problems(job: Job) -> list[Problem]:
    """What shows only when a job that checks is set out: no slat fits, or the walls meet each other."""
    try:
        set_outs = set_outs_of(job)
    except NothingFitsError as error:
        return [("slats", f"{error}; expected slats that fit the wall")]
    return _turn_problems(job) or _plan_problems(job, set_outs) or _lamp_problems(job, set_outs)
