"""Keeping a job that a form changed: a new one is added, a known one saved, an earlier save never lost."""

from collections.abc import Callable
from contextlib import suppress
from functools import wraps
from typing import Any, ParamSpec, TypeVar

from flask import abort

from viewer.pages.places import number_below
from viewer.services import services
from viewer.store.jobs import JobUnknownError, SavedMeanwhileError

P = ParamSpec("P")
T = TypeVar("T")

MOST_REVISIONS = 10**9
"""No job is saved as often; what a form says beyond is no revision."""
TRIES = 5


def save(name: str, document: dict[str, Any], revision: int) -> str:
    """Keep the document in place of the one that was read at ``revision``; returns the id of the kept job.

    The built-in job, which nobody keeps, becomes a job of its own. Raises ``SavedMeanwhileError`` when the
    job was saved since.
    """
    jobs = services().store.jobs
    try:
        return jobs.save(name, document, revision=revision).id
    except JobUnknownError:
        return jobs.add(document).id


def revision_given(text: str, read: int) -> int:
    """The revision that a form says it was given out with; the one just read where it says none."""
    said = number_below(text, MOST_REVISIONS)
    return read if said is None else said


def redone(view: Callable[P, T]) -> Callable[P, T]:
    """A view that puts its form into the kept document: done again on what somebody saved between its reading
    and its saving, so that neither is lost.
    """

    @wraps(view)
    def tried(*args: P.args, **values: P.kwargs) -> T:
        for _try in range(TRIES):
            with suppress(SavedMeanwhileError):
                return view(*args, **values)
        abort(409)

    return tried
