"""Cutting plans proven in the background: one at a time, with progress, cancelling and time left.

The first plan is there at once and says how far it may be from the best. What is ordered here improves it and
raises its bound for as long as the settings allow; whoever asks meanwhile gets the best plan so far.
"""

import hashlib
import secrets
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from meshes.cutting.plan import Plan, proven_cutting, with_parts_of
from viewer.clock import elapsed_s
from viewer.log import event

MOST_REMEMBERED = 64
"""Plans; the oldest is given up first."""
MOST_WAITING = 16

Prove = Callable[..., Plan]
"""``proven_cutting``, or what stands for it in a test."""


class TooManyError(Exception):
    """More plans wait than it makes sense to promise."""


@dataclass(slots=True, eq=False)
class Cutting:
    """One plan on order. ``state``: waiting, running, done, stopped or failed; ``plan``: the best so far."""

    key: str
    plan: Plan
    id: str = field(default_factory=lambda: secrets.token_urlsafe(12))
    state: str = "waiting"
    part: int = 0
    begun_s: float = 0.0
    unwanted: threading.Event = field(default_factory=threading.Event)
    finished: threading.Event = field(default_factory=threading.Event)


def key_of(plan: Plan) -> str:
    """What decides a plan, hashed: what is wanted from what, not how it is called on which wall."""
    orders = [one.crosscut.order for one in plan.timber]
    parts = [
        (
            sorted(one.pieces.items()),
            sorted(one.stock.items()),
            one.kerf,
            one.end_trim,
            one.strips_per_section,
        )
        for one in orders
    ]
    return hashlib.sha256(repr((parts, plan.sheets and plan.sheets.order)).encode()).hexdigest()


class CuttingsService:
    """Proves plans, one after the other, ``limit_s`` seconds each at most.

    A thread runs as long as there is something to prove; it ends with the program, wherever it stands.
    """

    def __init__(self, limit_s: float, prove: Prove = proven_cutting) -> None:
        self._limit_s = limit_s
        self._prove = prove
        self._lock = threading.RLock()
        self._waiting: deque[Cutting] = deque()
        self._thread: threading.Thread | None = None
        self._by_key: dict[str, Cutting] = {}
        self.improved = 0
        """Counts the plans of which more is known than at first: what was made with them is out of date."""

    @property
    def limit_s(self) -> float:
        """What one plan may take [s]."""
        return self._limit_s

    def order(self, plan: Plan) -> Cutting:
        """Order a plan; the same one under way or done is shared, a stopped one goes on.

        Raises ``TooManyError``.
        """
        key = key_of(plan)
        with self._lock:
            known = self._by_key.get(key)
            if known is not None and known.state not in ("stopped", "failed"):
                return known
            if len(self._waiting) >= MOST_WAITING:
                raise TooManyError
            cutting = Cutting(key=key, plan=with_parts_of(plan, known.plan) if known else plan)
            self._by_key.pop(key, None)
            self._by_key[key] = cutting
            self._forget()
            if plan.proven or self._limit_s <= 0:
                self._settle(cutting, cutting.plan, "done")
            else:
                self._waiting.append(cutting)
                if self._thread is None:
                    self._thread = threading.Thread(target=self._work, name="cuttings")
                    self._thread.start()
            return cutting

    def looked_at(self, plan: Plan) -> Cutting:
        """The order of a plan, as it stands; put on order if it never was. Raises ``TooManyError``."""
        with self._lock:
            return self._by_key.get(key_of(plan)) or self.order(plan)

    def best(self, plan: Plan) -> Plan:
        """The plan with the best parts known by now; what was never looked at is put on order."""
        try:
            return with_parts_of(plan, self.looked_at(plan).plan)
        except TooManyError:
            return plan

    def find(self, cutting_id: str) -> Cutting | None:
        """The plan of that id, as long as it is remembered."""
        with self._lock:
            return next((one for one in self._by_key.values() if one.id == cutting_id), None)

    def stop(self, cutting: Cutting) -> None:
        """Stop looking: at once while it waits, within a moment while it runs; the best plan so far stays."""
        with self._lock:
            cutting.unwanted.set()
            if cutting in self._waiting:
                self._waiting.remove(cutting)
                self._settle(cutting, cutting.plan, "stopped")

    def progress(self, cutting: Cutting) -> dict[str, Any]:
        """``state``, ``part`` of ``parts``, share ``done`` (0 to 1) and at most ``left_s`` seconds."""
        with self._lock:
            plan, running = cutting.plan, cutting.state == "running"
            spent = elapsed_s() - cutting.begun_s if running else 0.0
            parts = len(plan.timber) + (plan.sheets is not None)
            over = cutting.state not in ("waiting", "running")
            by_time = min(0.99, spent / self._limit_s) if running else 0.0
            return {
                "state": cutting.state,
                "part": cutting.part,
                "parts": parts,
                "done": 1.0 if over else round(max(by_time, cutting.part / (parts + 1)), 3),
                "left_s": 0.0 if over else round(max(0.0, self._limit_s - spent), 1),
            }

    def close(self) -> None:
        """End what is under way."""
        with self._lock:
            self._waiting.clear()
            for cutting in self._by_key.values():
                cutting.unwanted.set()
            thread = self._thread
        if thread is not None:
            thread.join()

    def _work(self) -> None:
        while True:
            with self._lock:
                if not self._waiting:
                    self._thread = None
                    return
                cutting = self._waiting.popleft()
                cutting.state, cutting.begun_s = "running", elapsed_s()
            self._run(cutting)

    def _run(self, cutting: Cutting) -> None:
        def unwanted() -> bool:
            return cutting.unwanted.is_set() or not threading.main_thread().is_alive()

        def hear(done: int, parts: int) -> None:
            cutting.part = done

        try:
            plan = self._prove(cutting.plan, time_limit_s=self._limit_s, cancelled=unwanted, progress=hear)
        except Exception as error:
            event("cutting_failed", kind=type(error).__name__)
            self._settle(cutting, cutting.plan, "failed")
            return
        self._settle(cutting, plan, "stopped" if unwanted() and not plan.proven else "done")

    def _settle(self, cutting: Cutting, plan: Plan, state: str) -> None:
        with self._lock:
            if not cutting.finished.is_set():
                self.improved += plan is not cutting.plan
                cutting.plan, cutting.state = plan, state
                cutting.finished.set()

    def _forget(self) -> None:
        settled = [key for key, one in self._by_key.items() if one.finished.is_set()]
        for key in settled[: max(0, len(self._by_key) - MOST_REMEMBERED)]:
            del self._by_key[key]
