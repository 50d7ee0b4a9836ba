"""A bound at once: weights on the pieces under which no strip holds more than it costs.

A function f on [0, 1] is dual feasible when every set of sizes that fits in 1 has f-values that sum to at
most 1 (S. P. Fekete and J. Schepers, Mathematical Programming 91, 2001; the step functions below are theirs).
For a strip of room C and cost c the weights c f(size / C) then sum to at most c over any pattern; the least
weight over all rooms holds for all of them at once, and the sum over the demand bounds every plan from below.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, gcd

import numpy as np
from numpy.typing import NDArray

from meshes.cutting.fill import Integers

STEPS = range(1, 13)
CUTS = 40  # thresholds tried, from the largest sizes on
PASSES = 2  # how often the choice is improved room by room


@dataclass(frozen=True, slots=True)
class Proportion:
    """f(x) = x: the sum of lengths."""

    def exact(self, share: Fraction) -> Fraction:
        return share

    def roughly(self, shares: NDArray[np.float64]) -> NDArray[np.float64]:
        return shares


@dataclass(frozen=True, slots=True)
class Steps:
    """Fekete and Schepers' u(k): x if (k + 1) x is whole, else floor((k + 1) x) / k."""

    k: int

    def exact(self, share: Fraction) -> Fraction:
        whole, part = divmod((self.k + 1) * share, 1)
        return share if part == 0 else Fraction(whole, self.k)

    def roughly(self, shares: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.floor((self.k + 1) * shares) / self.k


@dataclass(frozen=True, slots=True)
class Cut:
    """Fekete and Schepers' U(e): 1 above 1 - e, 0 below e, x between; 0 < e <= 1/2."""

    threshold: Fraction

    def exact(self, share: Fraction) -> Fraction:
        if share > 1 - self.threshold:
            return Fraction(1)
        return share if share >= self.threshold else Fraction(0)

    def roughly(self, shares: NDArray[np.float64]) -> NDArray[np.float64]:
        e = float(self.threshold)
        return np.where(shares > 1 - e, 1.0, np.where(shares >= e, shares, 0.0))


Scale = Proportion | Steps | Cut


def scales(shares: Sequence[Fraction]) -> list[Scale]:
    """The family tried for sizes as shares of a room: every member is dual feasible, so any may be taken."""
    thresholds = {min(share, 1 - share) for share in shares[:CUTS] if 0 < share < 1} | {Fraction(1, 2)}
    return [Proportion(), *map(Steps, STEPS), *map(Cut, sorted(thresholds))]


def lower_bound(order: Integers) -> int:
    """The least that any plan costs, as far as the weights prove it; rounded up to a possible cost.

    Two bounds hold: by cost, and by the number of strips, which come in whole sections of the cheapest kind.
    """
    if not order.sizes:
        return 0
    usable = [place for place, room in enumerate(order.rooms) if room >= order.sizes[-1]]
    rooms, costs = [order.rooms[place] for place in usable], [order.costs[place] for place in usable]
    by_cost = _bound(order, rooms, costs) / order.per_section
    strips = ceil(_bound(order, rooms, [1] * len(rooms)))
    sections = -(-strips // order.per_section)
    return round_up(order, max(by_cost, Fraction(sections * min(costs))))


def _bound(order: Integers, rooms: Sequence[int], costs: Sequence[int]) -> Fraction:
    """Each room may take its own function. Which is best is looked for in floats; the bound is exact."""
    demands = np.array(order.demands, dtype=float)
    families: list[list[Scale]] = []
    tables: list[NDArray[np.float64]] = []
    for room, cost in zip(rooms, costs, strict=True):
        fitting = [Fraction(size, room) for size in order.sizes if size <= room]
        families.append(scales(fitting))
        shares = np.array([float(share) for share in fitting])
        table = np.full((len(families[-1]), len(demands)), np.inf)
        for row, scale in enumerate(families[-1]):
            table[row, len(demands) - len(fitting) :] = cost * scale.roughly(shares)
        tables.append(table)
    chosen = _chosen(tables, demands)
    total = Fraction(0)
    for size, count in zip(order.sizes, order.demands, strict=True):
        total += count * min(
            cost * family[choice].exact(Fraction(size, room))
            for family, choice, room, cost in zip(families, chosen, rooms, costs, strict=True)
            if size <= room
        )
    return total


def _chosen(tables: Sequence[NDArray[np.float64]], demands: NDArray[np.float64]) -> list[int]:
    """For each room the row of its table with which the least weights sum highest; first guess: all alike."""
    alike = range(min(len(table) for table in tables))
    best = max(alike, key=lambda row: float(np.min([table[row] for table in tables], axis=0) @ demands))
    chosen = [best] * len(tables)
    for _ in range(PASSES if len(tables) > 1 else 1):
        for index, table in enumerate(tables):
            others = [tables[other][chosen[other]] for other in range(len(tables)) if other != index]
            ceiling = np.min(others, axis=0) if others else np.full(len(demands), np.inf)
            chosen[index] = int(np.argmax(np.minimum(table, ceiling) @ demands))
    return chosen


def round_up(order: Integers, cost: Fraction) -> int:
    """The next cost that whole sections can make: a multiple of what all section costs have in common."""
    step = gcd(*order.costs)
    return ceil(cost / step) * step
