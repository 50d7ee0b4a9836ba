"""Format numbers of the job file: every past format is brought up to ours by pure functions, step by step.

``UPGRADES[n]`` takes a job of format n and returns one of format n + 1. A data file of every past format
stands in tests/data. A format newer than ours is refused by name: to guess at it could drop what it means.
"""

from collections.abc import Callable, Mapping
from typing import Any

from viewer.job.reading import Problem

CURRENT = 1

Upgrade = Callable[[dict[str, Any]], dict[str, Any]]
UPGRADES: Mapping[int, Upgrade] = {}


def upgraded(
    job: dict[str, Any], *, upgrades: Mapping[int, Upgrade] = UPGRADES, current: int = CURRENT
) -> tuple[dict[str, Any], Problem | None]:
    """The job in the current format, or the job as it is and why it cannot be read.

    A job that states no format is taken as the current one.
    """
    stated = job.get("format", current)
    if isinstance(stated, bool) or not isinstance(stated, int) or stated < 1:
        return job, ("format", f"expected a whole number from 1 to {current}")
    if stated > current:
        return job, (
            "format",
            f"format {stated} is newer than the formats 1 to {current} that this version reads; "
            "open it with the version that wrote it, or a later one",
        )
    for number in range(stated, current):
        job = {**upgrades[number](job), "format": number + 1}
    return job, None
