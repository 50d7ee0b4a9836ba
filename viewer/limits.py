"""Limits on how often something may be tried, counted in this process's memory."""

from collections import OrderedDict, deque
from threading import Lock

from viewer.clock import elapsed_s

MOST_KEYS = 10_000
"""Addresses remembered at once; the least recently seen goes first, so that memory stays bounded."""


class Limiter:
    """At most ``count`` tries of one key within ``per_s`` seconds."""

    def __init__(self, count: int, per_s: float) -> None:
        self.count, self.per_s = count, per_s
        self._tries: OrderedDict[str, deque[float]] = OrderedDict()
        self._lock = Lock()

    def full(self, key: str) -> bool:
        """Whether the key has used up its tries."""
        with self._lock:
            return len(self._recent(key)) >= self.count

    def note(self, key: str) -> None:
        """Count one try."""
        with self._lock:
            self._recent(key).append(elapsed_s())

    def _recent(self, key: str) -> deque[float]:
        tries = self._tries.setdefault(key, deque(maxlen=self.count))
        self._tries.move_to_end(key)
        while len(self._tries) > MOST_KEYS:
            self._tries.popitem(last=False)
        while tries and tries[0] < elapsed_s() - self.per_s:
            tries.popleft()
        return tries
