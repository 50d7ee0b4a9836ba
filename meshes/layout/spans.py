"""Stretches along the run, found by where they are, so that many openings do not make a set-out slow."""

from bisect import bisect_left
from collections.abc import Iterable
from fractions import Fraction
from itertools import accumulate
from typing import Generic, TypeVar

Value = TypeVar("Value")
Span = tuple[Fraction, Fraction]
"""(start, end) [mm]."""


class SpanIndex(Generic[Value]):
    """Values that each hold for a span; asked which of them a stretch meets. Touching is not meeting."""

    __slots__ = ("_furthest", "_spans", "_starts", "_values")

    def __init__(self, entries: Iterable[tuple[Span, Value]]) -> None:
        ordered = sorted(entries, key=lambda entry: entry[0])
        self._spans = [span for span, _ in ordered]
        self._values = [value for _, value in ordered]
        self._starts = [start for start, _ in self._spans]
        # the furthest end so far: going back from a stretch, nothing before it reaches once this does not
        self._furthest = list(accumulate((end for _, end in self._spans), max))

    def meeting(self, start: Fraction, end: Fraction) -> list[Value]:
        """The values whose spans overlap ``start`` to ``end``, from the last one back."""
        found = []
        index = bisect_left(self._starts, end) - 1
        while index >= 0 and self._furthest[index] > start:
            if self._spans[index][1] > start:
                found.append(self._values[index])
            index -= 1
        return found


def merged(spans: Iterable[Span]) -> list[Span]:
    """The same stretches without overlaps, sorted."""
    found: list[Span] = []
    for start, end in sorted(spans):
        if found and start <= found[-1][1]:
            found[-1] = found[-1][0], max(found[-1][1], end)
        else:
            found.append((start, end))
    return found
