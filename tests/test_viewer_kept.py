"""A store of large things with a budget."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from threading import Barrier, Event
from time import sleep
from typing import TypeVar

import numpy as np
import pytest

from viewer.kept import Kept, array_bytes

T = TypeVar("T")


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


def at_once(count: int, ask: Callable[[int], T]) -> list[T]:
    """Answers to the same question of ``count`` threads that start together, as requests of a page do."""
    together = Barrier(count)

    def one(number: int) -> T:
        together.wait()
        return ask(number)

    with ThreadPoolExecutor(count) as threads:
        return list(threads.map(one, range(count)))


def test_a_value_that_several_threads_want_is_made_by_one_of_them() -> None:
    made = []
    kept: Kept[object] = Kept(10, lambda _value: 4)

    def slowly() -> object:
        made.append(1)
        sleep(0.02)
        return object()

    answers = at_once(6, lambda _number: kept.get("a", slowly))
    assert made == [1]
    assert len(set(map(id, answers))) == 1


def test_a_value_that_is_there_does_not_wait_for_one_that_is_made() -> None:
    kept: Kept[str] = Kept(10, len)
    kept.get("there", lambda: "there")
    begun, done = Event(), Event()

    def slowly() -> str:
        begun.set()
        assert done.wait(5), "the other thread was held up"
        return "made"

    with ThreadPoolExecutor(1) as threads:
        making = threads.submit(kept.get, "new", slowly)
        assert begun.wait(5)
        assert kept.get("there", lambda: "again") == "there"
        done.set()
        assert making.result() == "made"


def test_what_could_not_be_made_is_tried_again() -> None:
    kept: Kept[str] = Kept(10, len)

    def never() -> str:
        raise OSError("not yet")

    with pytest.raises(OSError, match="not yet"):
        kept.get("a", never)
    assert kept.get("a", lambda: "made") == "made"


def test_a_budget_holds_while_threads_come_and_go() -> None:
    kept: Kept[bytes] = Kept(10, len)
    for _round in range(20):
        at_once(6, lambda number: kept.get(number, lambda: bytes(4)))
    assert len(kept) == 2


def test_a_value_that_two_make_counts_once() -> None:
    """One fails while a second waits for it; a third that comes then does not wait for the second."""
    kept: Kept[bytes] = Kept(10, len)
    fail, begun, end = Event(), Event(), Event()

    def fails() -> bytes:
        fail.wait(5)
        raise OSError("not yet")

    def second() -> bytes:
        begun.set()
        end.wait(5)
        return bytes(4)

    with ThreadPoolExecutor(2) as pool:
        failing = pool.submit(kept.get, "a", fails)
        waiting = pool.submit(kept.get, "a", second)
        sleep(0.1)  # until it waits for the first
        fail.set()
        begun.wait(5)
        kept.get("a", lambda: bytes(4))
        end.set()
        assert waiting.result() == bytes(4)
        assert isinstance(failing.exception(), OSError)
    kept.get("b", lambda: bytes(4))
    assert "a" in kept, "4 and 4 of 10"
