"""Which pieces share a drop of cloth, so that the least length is cut from the roll.

A drop is as long as its longest piece, and its pieces lie beside each other within the usable width. Exact by
dynamic programming over how many pieces of each size are left; where there are too many sizes for that,
the longest first into the first drop with room, and a bound that says how much could still be saved.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

MOST_STEPS = 30_000
"""Patterns tried before the exact search gives way: about a tenth of a second."""
TOLERANCE_MM = 1e-9

Size = tuple[float, float]
"""(across the roll, along the roll) [mm]."""
Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shared:
    """drops : sizes in each, the longest first; length_mm : of all drops together.

    shortest_mm : no sharing of these pieces is shorter; equal to length_mm where that is proven the least.
    """

    drops: tuple[tuple[Size, ...], ...]
    length_mm: float
    shortest_mm: float

    @property
    def proven(self) -> bool:
        return self.shortest_mm >= self.length_mm - TOLERANCE_MM


class _TooManyError(Exception):
    """The exact search has tried its share of patterns."""


def share(sizes: Sequence[Size], usable_mm: float) -> Shared:
    """Drops for these pieces, each no wider than ``usable_mm``."""
    counted = Counter(sizes)
    kinds = sorted(counted, key=lambda size: (-size[1], -size[0]))
    search = _Search(kinds, usable_mm)
    try:
        drops = search.best(tuple(counted[kind] for kind in kinds))
        shortest = _length(drops)
    except _TooManyError:
        drops = _first_fit(sizes, usable_mm)
        shortest = bound_mm(sizes, usable_mm)
    return Shared(drops=drops, length_mm=_length(drops), shortest_mm=shortest)


def bound_mm(sizes: Sequence[Size], usable_mm: float) -> float:
    """No sharing is shorter than this.

    The first k drops hold k widths of the roll at most, so of the longest pieces that are wider than that
    together one lies in a later drop, and drop k + 1, by length, is at least as long as that one.
    """
    total, filled, drops = 0.0, 0.0, 0
    for across, along in sorted(sizes, key=lambda size: -size[1]):
        filled += across
        while filled > drops * usable_mm + TOLERANCE_MM:
            drops += 1
            total += along
    return total


class _Search:
    """The least length for what is left, remembered; kinds are sorted by length, the longest first."""

    def __init__(self, kinds: Sequence[Size], usable_mm: float) -> None:
        self.kinds = kinds
        self.usable_mm = usable_mm
        self.steps = 0
        self.known: dict[Counts, tuple[float, int, Counts]] = {}

    def best(self, counts: Counts) -> tuple[tuple[Size, ...], ...]:
        """Fill the memory from the fewest pieces up, without deep recursion, then read the drops back."""
        waiting = [counts]
        while waiting:
            state = waiting[-1]
            if state in self.known or not any(state):
                waiting.pop()
                continue
            after = [(pattern, _less(state, pattern)) for pattern in self._patterns(state)]
            missing = [rest for _, rest in after if any(rest) and rest not in self.known]
            if missing:
                waiting += missing
                continue
            lead = self.kinds[next(kind for kind, left in enumerate(state) if left)][1]
            options = []
            for pattern, rest in after:
                length, drops = self.known[rest][:2] if any(rest) else (0.0, 0)
                options.append((length + lead, drops + 1, tuple(-one for one in pattern)))
            length, drops, minus = min(options)
            self.known[state] = (length, drops, tuple(-one for one in minus))
            waiting.pop()
        found = []
        while any(counts):
            pattern = self.known[counts][2]
            found.append(tuple(kind for kind, n in zip(self.kinds, pattern, strict=True) for _ in range(n)))
            counts = _less(counts, pattern)
        return tuple(found)

    def _patterns(self, counts: Counts) -> Iterator[Counts]:
        """Drops that hold the longest piece left and that nothing more fits into: no other can be better."""
        lead = next(kind for kind, left in enumerate(counts) if left)

        def fill(kind: int, room: float, taken: Counts) -> Iterator[Counts]:
            self.steps += 1
            if self.steps > MOST_STEPS:
                raise _TooManyError
            if kind == len(counts):
                rest = _less(counts, taken)
                if not any(n and self.kinds[k][0] <= room + TOLERANCE_MM for k, n in enumerate(rest)):
                    yield taken
                return
            across = self.kinds[kind][0]
            fits = min(counts[kind], int((room + TOLERANCE_MM) / across))
            for n in range(fits, (1 if kind == lead else 0) - 1, -1):
                yield from fill(kind + 1, room - n * across, (*taken, n))

        yield from fill(lead, self.usable_mm, (0,) * lead)


def _less(counts: Counts, taken: Counts) -> Counts:
    return tuple(have - used for have, used in zip(counts, taken, strict=True))


def _first_fit(sizes: Sequence[Size], usable_mm: float) -> tuple[tuple[Size, ...], ...]:
    """Longest first, so that a drop's later pieces never lengthen it; each into the first drop with room."""
    drops: list[list[Size]] = []
    for size in sorted(sizes, key=lambda each: (-each[1], -each[0])):
        for drop in drops:
            if sum(across for across, _ in drop) + size[0] <= usable_mm + TOLERANCE_MM:
                drop.append(size)
                break
        else:
            drops.append([size])
    return tuple(tuple(drop) for drop in drops)


def _length(drops: Sequence[Sequence[Size]]) -> float:
    return sum(max(along for _, along in drop) for drop in drops)
