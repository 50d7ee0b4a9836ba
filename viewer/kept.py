"""A small store of large things: what was used least recently goes when a budget of bytes is exceeded."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import fields, is_dataclass
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


class Kept(Generic[V]):
    """Values by key. The newest always stays, however large it is. Not for several threads at once."""

    def __init__(self, budget_bytes: int, size_of: Callable[[V], int] = array_bytes) -> None:
        self.budget_bytes = budget_bytes
        self._size_of = size_of
        self._values: OrderedDict[Hashable, tuple[V, int]] = OrderedDict()
        self._total = 0

    def __len__(self) -> int:
        return len(self._values)

    def __contains__(self, key: Hashable) -> bool:
        return key in self._values

    def get(self, key: Hashable, make: Callable[[], V]) -> V:
        """The value of a key, made and kept if it is not there."""
        if key in self._values:
            self._values.move_to_end(key)
            return self._values[key][0]
        value = make()
        size = self._size_of(value)
        self._values[key] = (value, size)
        self._total += size
        while self._total > self.budget_bytes and len(self._values) > 1:
            _, (_, gone) = self._values.popitem(last=False)
            self._total -= gone
        return value
