"""A small store of large things: what was used least recently goes when a budget, of bytes say, is exceeded.

Several threads may use one store: a value is made by one of them while the others that want it wait, and
those that want another value do not.
"""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import fields, is_dataclass
from threading import Lock
from typing import Any, Generic, TypeVar

import numpy as np

V = TypeVar("V")


def array_bytes(value: Any) -> int:
    """Bytes of all arrays in a value made of dataclasses, tuples and arrays."""
    if isinstance(value, np.ndarray):
        return value.nbytes
    if isinstance(value, tuple | list):
        return sum(map(array_bytes, value))
    if is_dataclass(value) and not isinstance(value, type):
        return sum(array_bytes(getattr(value, field.name)) for field in fields(value))
    return 0


def one_each(_value: object) -> int:
    """A size for values that are budgeted by their number."""
    return 1


class Kept(Generic[V]):
    """Values by key, together within a budget in the units of ``size_of``.

    The newest always stays, however large it is.
    """

    def __init__(self, budget: int, size_of: Callable[[V], int] = array_bytes) -> None:
        self._budget = budget
        self._size_of = size_of
        self._values: OrderedDict[Hashable, tuple[V, int]] = OrderedDict()
        self._total = 0
        self._guard = Lock()
        self._making: dict[Hashable, Lock] = {}

    def __len__(self) -> int:
        return len(self._values)

    def __contains__(self, key: Hashable) -> bool:
        return key in self._values

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """The value of a key, made and kept if it is not there. ``make`` may ask other stores only."""
        with self._guard:
            if key in self._values:
                return self._found(key)
            making = self._making.setdefault(key, Lock())
        with making:
            with self._guard:
                if key in self._values:
                    return self._found(key)
            try:
                value = make()
            except BaseException:
                with self._guard:  # whoever waits tries for itself
                    self._making.pop(key, None)
                raise
            with self._guard:
                self._keep(key, value)
                self._making.pop(key, None)
        return value

    def _found(self, key: Hashable) -> V:
        self._values.move_to_end(key)
        return self._values[key][0]

    def _keep(self, key: Hashable, value: V) -> None:
        size = self._size_of(value)
        _, replaced = self._values.pop(key, (None, 0))  # made twice: once a first attempt had failed
        self._total -= replaced
        self._values[key] = (value, size)
        self._total += size
        while self._total > self._budget and len(self._values) > 1:
            _, (_, gone) = self._values.popitem(last=False)
            self._total -= gone
