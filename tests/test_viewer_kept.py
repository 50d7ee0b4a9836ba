"""A store of large things with a budget."""

from dataclasses import dataclass

import numpy as np

from viewer.kept import Kept, array_bytes


def test_what_was_used_least_recently_goes_first() -> None:
    kept: Kept[bytes] = Kept(10, len)
    for key in "abc":
        kept.get(key, lambda: bytes(4))
        kept.get("a", lambda: bytes(4))
    assert "a" in kept
    assert "b" not in kept
    assert "c" in kept


def test_a_value_is_made_once_while_it_is_kept() -> None:
    made = []
    kept: Kept[bytes] = Kept(10, len)
    for _ in range(3):
        kept.get("a", lambda: made.append(1) or bytes(4))
    assert made == [1]


def test_the_newest_stays_however_large() -> None:
    kept: Kept[bytes] = Kept(10, len)
    kept.get("small", lambda: bytes(1))
    kept.get("large", lambda: bytes(100))
    assert "large" in kept
    assert len(kept) == 1


@dataclass(frozen=True)
class Layered:
    first: np.ndarray
    rest: tuple[np.ndarray, ...]
    name: str = ""


def test_bytes_of_arrays_are_counted_wherever_they_stand() -> None:
    value = Layered(np.zeros(4, np.float32), (np.zeros((2, 3)), np.zeros(1, np.uint8)))
    assert array_bytes([value, value]) == 2 * (16 + 48 + 1)
