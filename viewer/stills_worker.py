"""The worker's side of making pictures: one process, started by ``spawn``, that alone draws and solves light.

It keeps the studio of the wall last seen, so that another finish or view of the same wall costs little. What
goes wrong comes back as a value: exceptions of a worker do not all survive the way between processes.
"""

import contextlib
import ctypes
import os
from dataclasses import dataclass, field
from multiprocessing import parent_process
from multiprocessing.connection import Connection
from multiprocessing.sharedctypes import SynchronizedArray
from threading import Lock, Thread
from typing import Any

from finishes.adaptation import EVENING_FEEL, FULL
from meshes.light.store import LightStore
from meshes.stills.given import ViewError
from meshes.stills.gl import GraphicsError
from viewer.board import board_image
from viewer.calling import called
from viewer.catalogue import catalogue_of, names_of
from viewer.frame import Frame
from viewer.job.canonical import digest
from viewer.job.check import JobError, check_job
from viewer.job.choices import ChoiceError, finish_named, lighting_named
from viewer.job.model import Job
from viewer.job.reading import Problem
from viewer.light_store import light_store
from viewer.picture import Studio
from viewer.settings import Settings
from viewer.still_file import image_bytes, still_image
from viewer.things import extras_of

GEOMETRY = ("wall", "openings", "zones", "slats", "panels", "next_walls", "room")
"""The sections that decide geometry and light: one studio serves every job that has them in common."""

START, FILE = "start", "file"

UNWANTED_SLOTS = 64
"""Numbers of cancelled orders stand in a shared ring; more orders than this are never under way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StillOrder:
    """One picture to make.

    document : a job's plain data; board : every finish and lighting; things : of ``viewer.frame.THINGS``,
    what stands in it; felt : as an evening feels, with the white card.
    """

    document: dict[str, Any]
    frame: Frame
    ending: str
    finish: str | None = None
    lighting: str | None = None
    board: bool = False
    things: tuple[str, ...] = ()
    felt: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """``data`` of the finished file, or what was wrong: problems of the order, or a fault in words."""

    data: bytes | None = None
    problems: tuple[Problem, ...] = ()
    fault: str = ""
    cancelled: bool = False


class CancelledError(Exception):
    """The picture is no longer wanted."""


@dataclass(slots=True)
class _Worker:
    catalogue: Any
    store: LightStore | None
    report: Connection
    unwanted: "SynchronizedArray[int]"
    number: int = 0
    studio_key: str = ""
    studio: Studio | None = None
    guard: Lock = field(default_factory=Lock)
    """A board lights two lightings at a time; they report one after the other."""

    def step(self, name: str) -> None:
        if self.unwanted[self.number % UNWANTED_SLOTS] == self.number:
            raise CancelledError
        with self.guard:
            self.report.send((self.number, name))

    def studio_of(self, job: Job, document: dict[str, Any], things: tuple[str, ...]) -> Studio:
        shared = {name: document[name] for name in GEOMETRY if name in document}
        key = digest({**shared, "things": sorted(set(things))})
        if self.studio is None or key != self.studio_key:
            self.studio = None  # two at a time would not fit
            extras = extras_of(job, things)
            self.studio = Studio(job, self.catalogue, self.step, extras=extras, store=self.store)
            self.studio_key = key
        return self.studio


_worker: _Worker | None = None


def start(settings: Settings, report: Connection, unwanted: "SynchronizedArray[int]") -> None:
    """Called once in the worker process."""
    global _worker
    _give_memory_back()
    Thread(target=_end_with_parent, daemon=True).start()
    _worker = _Worker(
        catalogue=catalogue_of(settings.catalogue, settings.cache_dir),
        store=light_store(settings),
        report=report,
        unwanted=unwanted,
    )


_MMAP_THRESHOLD = -3
"""M_MMAP_THRESHOLD of glibc's malloc.h."""


def _give_memory_back() -> None:
    """Let arrays above 2 MB go back to the system when they are done with.

    glibc raises that limit by itself to 32 MB, and a picture's arrays then leave holes that nothing else
    fits: a third more memory for the same pictures. Other C libraries lack the call and the habit.
    """
    with contextlib.suppress(AttributeError, OSError):
        ctypes.CDLL(None).mallopt(_MMAP_THRESHOLD, 2 << 20)


def _end_with_parent() -> None:
    """A server that was killed ends nothing; its worker would wait for orders for good."""
    parent = parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def make(number: int, order: StillOrder) -> Outcome:
    """One picture; ``number`` is what its steps are reported under."""
    assert _worker is not None
    _worker.number = number
    try:
        return Outcome(data=_made(_worker, order))
    except (JobError, ChoiceError, ViewError) as error:
        return Outcome(problems=tuple(error.problems))
    except CancelledError:
        return Outcome(cancelled=True)
    except GraphicsError as error:
        return Outcome(fault=str(error))
    except MemoryError:
        return Outcome(fault="this machine has not enough memory for a picture of that size")


def _made(worker: _Worker, order: StillOrder) -> bytes:
    result = check_job(order.document, names=names_of(worker.catalogue))
    if result.job is None:
        raise JobError(result.problems)
    job = result.job
    worker.step(START)
    things = (*order.things, "card") if order.felt else order.things
    studio = worker.studio_of(job, result.document, things)
    if order.board:
        image, words = board_image(studio, job, order.frame)
    else:
        finish = finish_named(job, order.finish)
        lighting = lighting_named(job, order.lighting)
        label = order.finish or called(job, finish, worker.catalogue)
        degree = EVENING_FEEL if order.felt else FULL
        image, line = still_image(studio, order.frame, lighting, finish, label=label, degree=degree)
        words = line.words()
    worker.step(FILE)
    return image_bytes(image, order.ending, words)
