"""One studio a job version: its scene, light and views are made once, however many requests ask for them."""

from collections import OrderedDict
from collections.abc import Sequence
from threading import Lock
from typing import cast

from flask import Flask, current_app

from viewer.job.model import Job
from viewer.light_store import light_store
from viewer.picture import Studio
from viewer.services import services
from viewer.things import extras_of

KEY = "slatwright-studios"
KEPT = 4
"""Studios held at once; the least recently used goes first."""


class Studios:
    """The studios of one application, by job version and what stands in the room."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._held: OrderedDict[tuple[str, tuple[str, ...]], Studio] = OrderedDict()

    def of(self, version: str, job: Job, things: Sequence[str] = ()) -> Studio:
        """The studio of a job version with some of ``THINGS``. Several threads may use it at once."""
        key = (version, tuple(things))
        with self._guard:
            if key not in self._held:
                store, extras = light_store(services().settings), extras_of(job, things)
                self._held[key] = Studio(job, services().catalogue, extras=extras, store=store)
            self._held.move_to_end(key)
            while len(self._held) > KEPT:
                self._held.popitem(last=False)
            return self._held[key]


def init_app(app: Flask) -> None:
    """Make room for the studios of an application; its catalogue is read with the first of them."""
    app.extensions[KEY] = Studios()


def studio_of(version: str, job: Job, things: Sequence[str] = ()) -> Studio:
    """The studio of a job version, with some of ``THINGS`` in the room, in the present application."""
    return cast(Studios, current_app.extensions[KEY]).of(version, job, things)
