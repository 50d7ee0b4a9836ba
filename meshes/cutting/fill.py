"""Filling strips one after the other: the plan that is there before anyone has waited.

Whole numbers only; kerf is already part of every size and room.
"""

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

LOOKS = 12_000  # combinations tried over a whole plan: some ten milliseconds


@dataclass(frozen=True, slots=True, kw_only=True)
class Integers:
    """A cutting order in whole numbers: distinct ``sizes`` falling, ``rooms`` rising with their ``costs``."""

    sizes: tuple[int, ...]
    demands: tuple[int, ...]
    rooms: tuple[int, ...]
    costs: tuple[int, ...]
    per_section: int
    cost_scale: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """How many of each size are cut from a strip of ``rooms[room]``, and how often."""

    room: int
    counts: tuple[int, ...]
    times: int


def first_strips(order: Integers) -> tuple[Strip, ...]:
    """The cheapest of several greedy plans, each without looking back."""
    usable = [
        room for room in range(len(order.rooms)) if order.sizes and order.rooms[room] >= order.sizes[-1]
    ]
    if not usable:
        return ()
    choices: list[list[int]] = [usable] if len(usable) > 1 else []
    choices += [[room] for room in usable if order.rooms[room] >= order.sizes[0]]
    looks = max(20, LOOKS // (sum(order.demands) * len(usable)))
    plans = [_greedy(order, choice, tries) for choice in choices for tries in (0, looks)]
    best = min(plans, key=lambda plan: (_cost(order, plan), sum(times for _, _, times in plan)))
    return tuple(
        Strip(room=room, counts=tuple(pieces.get(index, 0) for index in range(len(order.sizes))), times=times)
        for room, pieces, times in best
    )


def cost_of(order: Integers, strips: Sequence[Strip]) -> int:
    """What the sections cost that these strips come from."""
    return _cost(order, [(strip.room, {}, strip.times) for strip in strips])


Filled = tuple[int, dict[int, int], int]
"""A room, how many of which size (by index), how often."""


def _cost(order: Integers, filled: Sequence[Filled]) -> int:
    used = [0] * len(order.rooms)
    for room, _, times in filled:
        used[room] += times
    return sum(-(-count // order.per_section) * cost for count, cost in zip(used, order.costs, strict=True))


class _Left:
    """What is still to be cut: the sizes with a demand, falling, found by what still fits."""

    def __init__(self, order: Integers) -> None:
        self.counts = {index: count for index, count in enumerate(order.demands) if count}
        self.live = sorted(self.counts)
        self.rising = [-order.sizes[index] for index in self.live]

    def fitting(self, room: int, start: int = 0) -> range:
        """Places in ``live`` whose size fits, from the largest; not before ``start``."""
        return range(max(start, bisect_left(self.rising, -room)), len(self.live))

    def take(self, pieces: dict[int, int], times: int) -> None:
        for index, count in pieces.items():
            self.counts[index] -= count * times
        if not all(self.counts[index] for index in pieces):
            kept = [place for place, index in enumerate(self.live) if self.counts[index]]
            self.live = [self.live[place] for place in kept]
            self.rising = [self.rising[place] for place in kept]


def _greedy(order: Integers, rooms: Sequence[int], looks: int) -> list[Filled]:
    left = _Left(order)
    strips: list[Filled] = []
    while left.live:
        largest = order.sizes[left.live[0]]
        filled = []
        for room in rooms:
            if order.rooms[room] >= largest:
                pieces = _fill(order.sizes, left, order.rooms[room], looks)
                taken = sum(order.sizes[index] * count for index, count in pieces.items())
                filled.append((Fraction(order.costs[room], taken), order.costs[room], room, pieces))
        _, _, room, pieces = min(filled, key=lambda one: one[:3])
        times = min(left.counts[index] // count for index, count in pieces.items())
        left.take(pieces, times)
        strips.append((room, pieces, times))
    return strips


def _fill(sizes: Sequence[int], left: _Left, room: int, looks: int) -> dict[int, int]:
    """Fill one strip, the largest piece left always in it (so that nothing awkward stays to the end).

    Without ``looks`` the largest that still fits comes next, as in first-fit-decreasing; with it the
    combination that leaves least is looked for among the first ``looks`` tried.
    """
    pieces: dict[int, int] = {}
    if looks:
        first = left.live[0]
        pieces = _fullest(sizes, left, room - sizes[first], looks)
        return pieces | {first: pieces.get(first, 0) + 1}
    place = 0
    while places := left.fitting(room, place):
        place, index = places[0], left.live[places[0]]
        pieces[index] = min(left.counts[index], room // sizes[index])
        room -= pieces[index] * sizes[index]
        place += 1
    return pieces


def _fullest(sizes: Sequence[int], left: _Left, room: int, looks: int) -> dict[int, int]:
    """What to add to the largest piece so that least of ``room`` is left: depth first, larger first."""
    best_left, best = room, dict[int, int]()
    pieces: dict[int, int] = {left.live[0]: 1}
    chosen: list[int] = []
    # one level a piece, none larger than the one before it; a stack, since strips may hold a thousand
    levels = [(iter(left.fitting(room)), room)]
    while levels:
        places, remaining = levels[-1]
        place = next(places, None)
        if place is None:
            levels.pop()
            if chosen:
                pieces[chosen.pop()] -= 1
            continue
        looks -= 1
        if best_left == 0 or looks < 0:
            break
        index = left.live[place]
        if pieces.get(index, 0) < left.counts[index]:
            pieces[index] = pieces.get(index, 0) + 1
            chosen.append(index)
            remaining -= sizes[index]
            if remaining < best_left:
                best_left, best = remaining, pieces.copy()
            levels.append((iter(left.fitting(remaining, place)), remaining))
    first = left.live[0]
    added = {index: count for index, count in best.items() if count}
    if first in added:
        added[first] -= 1
    return added
