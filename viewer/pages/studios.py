"""One studio a job version: its scene, light and views are made once, by one request at a time."""

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING

from meshes.light.store import LightStore
from viewer.job.model import Job
from viewer.picture import Studio

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

KEPT = 4
"""Studios held at once; the least recently used goes first."""


class Studios:
    """Studios by job version. ``use`` holds the studio's own lock, so that nothing is made twice."""

    def __init__(self, catalogue: "Catalogue", store: LightStore | None = None) -> None:
        self._catalogue = catalogue
        self._store = store
        self._guard = Lock()
        self._held: OrderedDict[str, tuple[Studio, Lock]] = OrderedDict()

    def of(self, version: str, job: Job) -> tuple[Studio, Lock]:
        """The studio of a job version, and the lock under which it is to be used."""
        with self._guard:
            if version not in self._held:
                self._held[version] = (Studio(job, self._catalogue, store=self._store), Lock())
            self._held.move_to_end(version)
            while len(self._held) > KEPT:
                self._held.popitem(last=False)
            return self._held[version]
