"""Joints across slats and boards that are longer than their stock: placed where they show least, or refused.

Boards::                          Slats, staggered::

    |        |   above 2 m, or        | |   | |   | |
    |--------|   behind furniture     | |   |-|   | |     >= 400 mm from slat to slat
    |        |                        |-|   | |   |-|
    |________|                        |_|   |_|   |_|
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil

from meshes.layout.spans import Span

ABOVE_EYES_MM = Fraction(2000)
"""A joint across above this height is not looked at (common practice)."""

STAGGER_MM = Fraction(400)
"""Joints of neighbouring slats are at least this far apart (common practice)."""

SHORTEST_PART_MM = Fraction(200)
"""A strip of board narrower than this is not worth a joint's work (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cuts:
    """Where a long thing is jointed, along it, and whether every joint lies where it shows least."""

    at: tuple[Fraction, ...]
    unseen: bool


def calm_spans(low: Fraction, high: Fraction, hidden: Sequence[Span], upright: bool) -> list[Span]:
    """Where a joint across shows least: behind a hidden zone, and above 2 m where slats are upright."""
    spans = [(max(low, start), min(high, end)) for start, end in hidden]
    if upright:
        spans.append((max(low, ABOVE_EYES_MM), high))
    return [span for span in spans if span[0] < span[1]]


def board_cuts(low: Fraction, high: Fraction, longest: Fraction, calm: Sequence[Span]) -> Cuts:
    """Joints for a board from ``low`` to ``high``, no part over ``longest``, the fewest parts.

    Each joint goes as far as the board reaches into a calm span; where none is in reach, to equal parts.
    """
    parts = ceil((high - low) / longest)
    at: list[Fraction] = []
    unseen = True
    begin = low
    for left in range(parts - 1, 0, -1):
        most = min(begin + longest, high - left * SHORTEST_PART_MM)
        found = _latest((high - left * longest, most), calm)
        if found is None:
            unseen = False
            found = begin + (high - begin) / (left + 1)
        at.append(found)
        begin = found
    return Cuts(at=tuple(at), unseen=unseen)


def _latest(within: Span, calm: Sequence[Span]) -> Fraction | None:
    """The last place within a span that is calm."""
    reached = [min(within[1], end) for start, end in calm if max(start, within[0]) <= min(within[1], end)]
    return max(reached, default=None)


def slat_cuts(
    low: Fraction, high: Fraction, longest: Fraction, calm: Sequence[Span]
) -> tuple[Cuts, Cuts] | None:
    """Joints for slats of even and of odd number, at least 400 mm apart, no length over ``longest``.

    None when the lengths are too short to stagger.
    """
    length = high - low
    parts = ceil(length / longest)
    if parts == 2:
        pair = _two_places(low, high, longest, calm)
        if pair is not None:
            return _judged((pair[0],), calm), _judged((pair[1],), calm)
    for count in (parts, parts + 1):
        # even joints every ``each``, odd ones 400 mm before; neither leaves a part under 400 mm
        each = min(longest, (length - STAGGER_MM) / (count - 1))
        if each >= (length + STAGGER_MM - longest) / (count - 1) and each >= 2 * STAGGER_MM:
            even = tuple(low + each * step for step in range(1, count))
            odd = tuple(place - STAGGER_MM for place in even)
            return _judged(even, calm), _judged(odd, calm)
    return None


def _two_places(low: Fraction, high: Fraction, longest: Fraction, calm: Sequence[Span]) -> Span | None:
    """Two calm places for single joints, as high as they go, far enough apart."""
    within = max(high - longest, low + STAGGER_MM), min(low + longest, high - STAGGER_MM)
    first = _latest(within, calm)
    if first is None:
        return None
    second = _latest((within[0], first - STAGGER_MM), calm)
    return None if second is None else (first, second)


def _judged(at: tuple[Fraction, ...], calm: Sequence[Span]) -> Cuts:
    return Cuts(at=at, unseen=all(any(start <= place <= end for start, end in calm) for place in at))


def split(piece: Span, cuts: Sequence[Fraction], longest: Fraction) -> list[Span]:
    """A piece of slat, cut at those joints that it reaches when it is longer than ``longest``."""
    low, high = piece
    if high - low <= longest:
        return [piece]
    return list(pairwise([low, *(at for at in cuts if low < at < high), high]))
