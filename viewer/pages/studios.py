"""One studio a job version: its scene, light and views are made once, however many requests ask for them."""

from collections import OrderedDict
from threading import Lock
from typing import cast

from flask import Flask, current_app

from viewer.job.model import Job
from viewer.light_store import light_store
from viewer.picture import Studio
from viewer.services import services

KEY = "slatwright-studios"
KEPT = 4
"""Studios held at once; the least recently used goes first."""


class Studios:
    """The studios of one application, by job version."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._held: OrderedDict[str, Studio] = OrderedDict()

    def of(self, version: str, job: Job) -> Studio:
        """The studio of a job version. Several threads may use it at once."""
        with self._guard:
            if version not in self._held:
                store = light_store(services().settings)
                self._held[version] = Studio(job, services().catalogue, store=store)
            self._held.move_to_end(version)
            while len(self._held) > KEPT:
                self._held.popitem(last=False)
            return self._held[version]


def init_app(app: Flask) -> None:
    """Make room for the studios of an application; its catalogue is read with the first of them."""
    app.extensions[KEY] = Studios()


def studio_of(version: str, job: Job) -> Studio:
    """The studio of a job version in the present application."""
    return cast(Studios, current_app.extensions[KEY]).of(version, job)
