"""Pictures on order: one executor for the whole application, with progress, cancelling and time left.

The executor is ``concurrent.futures``'; by default one process started by ``spawn``, which alone has an
OpenGL context. Threads that answer requests only order, wait and hand out bytes.
"""

import multiprocessing
import secrets
import threading
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from dataclasses import asdict, dataclass, field
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any

from viewer.clock import elapsed_s
from viewer.job.canonical import digest
from viewer.log import event
from viewer.settings import Settings
from viewer.stills_worker import FILE, START, UNWANTED_SLOTS, Outcome, StillOrder, make, start

MOST_UNDER_WAY = 16
"""Pictures that wait or are made."""
KEPT_BYTES = 64 << 20
"""Finished pictures that stay in memory."""
TRIES = 2
"""A worker that dies (killed for memory, a lost driver) is replaced, and its picture tried once more."""

STEPS = (START, "raster", "light", "layers", FILE)
_BY_PIXELS = frozenset({"raster", "layers", FILE})
_FIRST_GUESS_S = {START: 1.5, "raster": 1.0, "light": 4.0, "layers": 1.5, FILE: 0.2}
"""Seconds of each step (of a megapixel, where it goes by pixels) until this machine has been measured."""


class TooManyError(Exception):
    """More pictures wait than it makes sense to promise."""


@dataclass(slots=True)
class Still:
    """One ordered picture. ``state``: waiting, running, done, failed or cancelled."""

    key: str
    number: int
    order: StillOrder
    id: str = field(default_factory=lambda: secrets.token_urlsafe(12))
    state: str = "waiting"
    step: str = ""
    step_since_s: float = 0.0
    outcome: Outcome | None = None
    finished: threading.Event = field(default_factory=threading.Event)
    future: "Future[Outcome] | None" = None
    tries: int = 0


def key_of(order: StillOrder) -> str:
    """The content that decides a picture's bytes on this machine, hashed."""
    return digest({**asdict(order), "frame": asdict(order.frame)})


def _workers_of(executor: Executor) -> list[BaseProcess]:
    """The processes of an executor, which has no other way to end one at work before Python 3.14."""
    processes = executor._processes if isinstance(executor, ProcessPoolExecutor) else None
    return list((processes or {}).values())


class StillsService:
    """Orders pictures from an executor. ``executor`` : another one to use, such as a cluster's."""

    def __init__(self, settings: Settings, executor: Callable[[], Executor] | None = None) -> None:
        self._settings = settings
        self._make_executor = executor or self._own_executor
        self._executor: Executor | None = None
        self._lock = threading.RLock()
        self._stills: dict[str, Still] = {}
        self._by_key: dict[str, Still] = {}
        self._seconds = dict(_FIRST_GUESS_S)
        self._numbers = 0
        self._unwanted = multiprocessing.get_context("spawn").Array("q", UNWANTED_SLOTS)

    # ---- ordering

    def order(self, order: StillOrder) -> Still:
        """Order a picture; the same order under way or still kept is shared. Raises ``TooManyError``."""
        key = key_of(order)
        with self._lock:
            known = self._by_key.get(key)
            if known is not None and known.state in ("waiting", "running", "done"):
                return known
            under_way = sum(still.state in ("waiting", "running") for still in self._stills.values())
            if under_way >= MOST_UNDER_WAY:
                raise TooManyError
            self._numbers += 1
            still = Still(key=key, number=self._numbers, order=order)
            self._stills[still.id] = self._by_key[key] = still
            self._forget()
            self._submit(still)
        return still

    def find(self, still_id: str) -> Still | None:
        """The still of that id, as long as it is remembered."""
        with self._lock:
            return self._stills.get(still_id)

    def picture(self, order: StillOrder, timeout_s: float | None = None) -> Outcome:
        """Order a picture and wait for it."""
        still = self.order(order)
        still.finished.wait(timeout_s)
        return still.outcome or Outcome(fault="the picture is not ready yet")

    def cancel(self, still: Still) -> None:
        """Stop a picture: at once while it waits, at its next step while it is made."""
        with self._lock:
            if still.state == "waiting" and still.future is not None and still.future.cancel():
                self._settle(still, Outcome(cancelled=True))
            elif still.state in ("waiting", "running"):
                self._unwanted[still.number % UNWANTED_SLOTS] = still.number

    def close(self) -> None:
        """End the worker."""
        with self._lock:
            executor, self._executor = self._executor, None
            if executor is not None:
                workers = _workers_of(executor)
                executor.shutdown(wait=False, cancel_futures=True)
                for process in workers:
                    process.terminate()

    # ---- what is known of a picture under way

    def progress(self, still: Still) -> dict[str, Any]:
        """``state``, ``step``, share ``done`` (0 to 1) and seconds ``left_s``, from what steps have taken.

        What waits, waits for those that were ordered before it too.
        """
        with self._lock:
            own = self._time(still)
            if still.state == "waiting":
                before = [one for one in self._stills.values() if one.number < still.number]
                own["left_s"] = round(own["left_s"] + sum(self._time(one)["left_s"] for one in before), 1)
            return {"state": still.state, "step": still.step, **own}

    def _time(self, still: Still) -> dict[str, Any]:
        if still.state not in ("waiting", "running"):
            return {"done": 1.0 if still.state == "done" else 0.0, "left_s": 0.0}
        megapixels = still.order.frame.width * still.order.frame.height / 1e6
        seconds = {step: self._seconds[step] * (megapixels if step in _BY_PIXELS else 1.0) for step in STEPS}
        total = sum(seconds.values())
        if still.step not in STEPS:
            return {"done": 0.0, "left_s": round(total, 1)}
        place = STEPS.index(still.step)
        spent = min(elapsed_s() - still.step_since_s, 0.95 * seconds[still.step])
        left = seconds[still.step] - spent + sum(seconds[step] for step in STEPS[place + 1 :])
        return {"done": round(1 - left / total, 3), "left_s": round(left, 1)}

    # ---- the executor's side

    def _own_executor(self) -> Executor:
        context = multiprocessing.get_context("spawn")
        hears, tells = context.Pipe(duplex=False)
        threading.Thread(target=self._listen, args=(hears,), daemon=True, name="stills").start()
        return ProcessPoolExecutor(
            max_workers=1,
            mp_context=context,
            initializer=start,
            initargs=(self._settings, tells, self._unwanted),
        )

    def _listen(self, hears: Connection) -> None:
        while True:
            try:
                number, step = hears.recv()
            except (EOFError, OSError):
                return
            with self._lock:
                for still in self._stills.values():
                    if still.number == number:
                        self._note(still, step)

    def _note(self, still: Still, step: str) -> None:
        """A step began: the one before it is measured."""
        now = elapsed_s()
        if still.step in self._seconds and still.state == "running":
            megapixels = still.order.frame.width * still.order.frame.height / 1e6
            took = now - still.step_since_s
            measured = took / megapixels if still.step in _BY_PIXELS else took
            self._seconds[still.step] = 0.5 * self._seconds[still.step] + 0.5 * measured
        if still.state == "waiting":
            still.state = "running"
        still.step, still.step_since_s = step, now

    def _submit(self, still: Still) -> None:
        still.tries += 1
        try:
            still.future = self._handed_on(still)
        except OSError as error:  # no memory or no room for a process: the next order tries a new executor
            event("still_failed", kind=type(error).__name__, still=still.number)
            self._executor = None
            self._settle(still, Outcome(fault="no process could be started for the picture"))
            return
        still.future.add_done_callback(lambda future: self._ended(still, future))

    def _handed_on(self, still: Still) -> "Future[Outcome]":
        if self._executor is None:
            self._executor = self._make_executor()
        try:
            return self._executor.submit(make, still.number, still.order)
        except BrokenExecutor:
            self._executor = self._make_executor()
            return self._executor.submit(make, still.number, still.order)

    def _ended(self, still: Still, future: "Future[Outcome]") -> None:
        if future.cancelled():
            with self._lock:
                self._settle(still, Outcome(cancelled=True))
            return
        error = future.exception()
        with self._lock:
            if isinstance(error, BrokenExecutor) and still.tries < TRIES and self._executor is not None:
                event("worker_lost", still=still.number)
                self._executor = None
                self._submit(still)
                return
            if error is not None:
                event("still_failed", kind=type(error).__name__, still=still.number)
                self._settle(still, Outcome(fault="an unexpected fault while the picture was made"))
                return
            self._settle(still, future.result())

    def _settle(self, still: Still, outcome: Outcome) -> None:
        if still.finished.is_set():
            return
        still.outcome = outcome
        still.state = "cancelled" if outcome.cancelled else "done" if outcome.data is not None else "failed"
        still.finished.set()

    def _forget(self) -> None:
        """Keep the bytes of finished pictures within the budget, oldest out first."""
        finished = [still for still in self._stills.values() if still.finished.is_set()]
        held = sum(len(still.outcome.data) for still in finished if still.outcome and still.outcome.data)
        for still in finished:
            if held <= KEPT_BYTES and len(finished) <= 200:
                break
            if still.outcome and still.outcome.data:
                held -= len(still.outcome.data)
            finished = finished[1:]
            self._stills.pop(still.id, None)
            if self._by_key.get(still.key) is still:
                del self._by_key[still.key]
