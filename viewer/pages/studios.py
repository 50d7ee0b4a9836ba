"""One studio a job version: its scene, light and views are made once, however many requests ask for them."""

from collections.abc import Sequence
from typing import cast

from flask import Flask, current_app

from viewer.job.model import Job
from viewer.kept import Kept, one_each
from viewer.light_store import light_store
from viewer.picture import Studio
from viewer.services import services
from viewer.things import extras_of

KEY = "slatwright-studios"
MOST_STUDIOS = 4
"""Held at once; the least recently used goes first."""


def init_app(app: Flask) -> None:
    """Make room for the studios of an application; its catalogue is read with the first of them."""
    app.extensions[KEY] = Kept[Studio](MOST_STUDIOS, one_each)


def studio_of(version: str, job: Job, things: Sequence[str] = ()) -> Studio:
    """The studio of a job version with some of ``THINGS`` in the room. Several threads may use it at once."""

    def make() -> Studio:
        store, extras = light_store(services().settings), extras_of(job, things)
        return Studio(job, services().catalogue, extras=extras, store=store)

    return cast(Kept[Studio], current_app.extensions[KEY]).get((version, tuple(things)), make)
