"""Keeping a job that a form changed: a new one is added, a known one saved, an earlier save never lost."""

from typing import Any

from viewer.pages.places import number_below
from viewer.services import services
from viewer.store.jobs import JobUnknownError

MOST_REVISIONS = 10**9
"""No job is saved as often; what a form says beyond is no revision."""


def save(name: str, document: dict[str, Any], revision: str) -> str:
    """Keep the document; returns the id under which it is kept.

    The built-in job, which nobody keeps, becomes a job of its own. Raises ``SavedMeanwhileError`` when the
    job was saved since ``revision``.
    """
    jobs = services().store.jobs
    try:
        current = jobs.get(name)
    except JobUnknownError:
        return jobs.add(document).id
    read_at = number_below(revision, MOST_REVISIONS)
    return jobs.save(name, document, revision=current.revision if read_at is None else read_at).id
