"""A pattern with a given gap, walked from an anchor to both ends of the run.

::

    |<- space ->|#|##|#|<- gap ->|#|##|#|<- gap ->|#|##|..|     # a slat of the pattern, whole
                 ^ anchor: where the pattern begins, somewhere

What stands before the first whole slat, and after the last, is left to the rules for closing a run.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor, lcm

from meshes.layout.gaps import Rhythm


@dataclass(frozen=True, slots=True, kw_only=True)
class Walked:
    """Whole slats in a run: how many, the pattern's index of the first, and what is left at the two ends.

    ``beyond``: width of the slat that would come next at each end, and the gap before it [mm].
    """

    whole: int
    offset: int
    spaces: tuple[Fraction, Fraction]
    beyond: tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]


def block(rhythm: Rhythm) -> int:
    """After how many slats a pattern repeats, widths and groups together."""
    return lcm(len(rhythm.cycle), rhythm.pattern.group)


def width_at(rhythm: Rhythm, index: int) -> Fraction:
    """Width of a slat by its index in the pattern [mm]."""
    return rhythm.cycle[index % len(rhythm.cycle)]


def gap_before(rhythm: Rhythm, index: int, gap: Fraction) -> Fraction:
    """The gap before a slat: that inside a group, or ``gap`` before a group [mm]."""
    return rhythm.pattern.group_gap_mm if index % rhythm.pattern.group else gap


def span(rhythm: Rhythm, gap: Fraction) -> Fraction:
    """From the start of a pattern to the end of its last slat [mm]."""
    count = block(rhythm)
    inside = sum((gap_before(rhythm, index, gap) for index in range(1, count)), Fraction(0))
    return sum((width_at(rhythm, index) for index in range(count)), inside)


def starts_from(
    rhythm: Rhythm, gap: Fraction, first: Fraction, offset: int, count: int
) -> tuple[list[Fraction], list[Fraction]]:
    """(starts, widths) of ``count`` slats; the first, ``offset`` in the pattern, starts at ``first``."""
    starts, widths = [], []
    at = first
    for index in range(offset, offset + count):
        if index > offset:
            at += gap_before(rhythm, index, gap)
        starts.append(at)
        widths.append(width_at(rhythm, index))
        at += widths[-1]
    return starts, widths


@lru_cache(maxsize=64)
def walk(rhythm: Rhythm, gap: Fraction, run: Fraction, anchor: Fraction) -> Walked | None:
    """The whole slats that fit the run where the pattern begins at ``anchor``; None where none does."""
    pitch = span(rhythm, gap) + gap
    begin = anchor - (floor(anchor / pitch) + 1) * pitch
    count = block(rhythm) * (floor((run - begin) / pitch) + 1)
    starts, widths = starts_from(rhythm, gap, begin, 0, count)
    inside = [
        index
        for index, (start, width) in enumerate(zip(starts, widths, strict=True))
        if start >= 0 and start + width <= run
    ]
    if not inside:
        return None
    first, last = inside[0], inside[-1]
    return Walked(
        whole=last - first + 1,
        offset=first % block(rhythm),
        spaces=(starts[first], run - starts[last] - widths[last]),
        beyond=(
            (width_at(rhythm, first - 1), gap_before(rhythm, first, gap)),
            (width_at(rhythm, last + 1), gap_before(rhythm, last + 1, gap)),
        ),
    )
