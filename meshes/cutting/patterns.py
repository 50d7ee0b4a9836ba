"""Plans as sums of patterns: every maximal pattern listed, or the ones that matter generated.

Column generation after P. C. Gilmore and R. E. Gomory, Operations Research 9 (1961); the bound that holds
before it has converged after A. A. Farley, Operations Research 38 (1990).
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from time import monotonic

import numpy as np
from numpy.typing import NDArray

from meshes.cutting.fill import Integers, Strip
from meshes.cutting.solver import Column, Row, minimise

Room = int
Counts = tuple[int, ...]
Found = tuple[tuple[Strip, ...], float]
"""Strips of the best plan seen (none if no plan was), and a lower bound of every plan's cost."""

DEPTH = 300  # pieces in one strip beyond which patterns are not listed
TABLE = 4_000_000  # cells of a pricing table: beyond it the rooms are too finely divided


def maximal(order: Integers, limit: int) -> list[tuple[Room, Counts]] | None:
    """Every filled strip to which no further wanted piece could be added; None beyond ``limit``."""
    if max(order.rooms) > DEPTH * order.sizes[-1]:
        return None
    rising = [-size for size in order.sizes]
    found: list[tuple[Room, Counts]] = []
    counts = [0] * len(order.sizes)

    def extend(room: Room, first: int, left: int) -> bool:
        """Choose the next piece among those not larger than the last one."""
        first = max(first, bisect_left(rising, -left))
        closed = True
        for index in range(first, len(order.sizes)):
            if counts[index] < order.demands[index]:
                closed = False
                counts[index] += 1
                fits = extend(room, index, left - order.sizes[index])
                counts[index] -= 1
                if not fits:
                    return False
        if closed and any(counts) and not _addable(order, counts, left):
            found.append((room, tuple(counts)))
        return len(found) <= limit

    complete = all(extend(room, 0, order.rooms[room]) for room in range(len(order.rooms)))
    return found if complete else None


def _addable(order: Integers, counts: Sequence[int], left: int) -> bool:
    return any(
        size <= left and count < most
        for size, count, most in zip(order.sizes, counts, order.demands, strict=True)
    )


def combine(
    order: Integers,
    patterns: Sequence[tuple[Room, Counts]],
    *,
    time_limit_s: float,
    cancelled: Callable[[], bool],
) -> Found:
    """The cheapest plan from the given patterns, and the bound *within* them."""
    most, pieces = float(sum(order.demands)), len(order.sizes)
    columns = [_column(order, room, counts, 0.0, ((pieces + room, -1.0),)) for room, counts in patterns]
    columns += [
        Column(cost=float(cost), upper=most, entries=((pieces + room, float(order.per_section)),))
        for room, cost in enumerate(order.costs)
    ]
    rows = [Row(lower=float(count)) for count in order.demands] + [Row(lower=0.0) for _ in order.rooms]
    answer = minimise(columns, rows, whole=True, time_limit_s=time_limit_s, cancelled=cancelled)
    strips = tuple(
        Strip(room=room, counts=counts, times=times)
        for (room, counts), value in zip(patterns, answer.values or (), strict=False)
        if (times := round(value))
    )
    return strips, answer.bound


def _column(
    order: Integers, room: Room, counts: Counts, cost: float, more: tuple[tuple[int, float], ...] = ()
) -> Column:
    entries = tuple((row, float(count)) for row, count in enumerate(counts) if count)
    return Column(cost=cost, upper=float(sum(order.demands)), entries=entries + more)


def generated(
    order: Integers,
    first: Sequence[Strip],
    *,
    time_limit_s: float,
    cancelled: Callable[[], bool],
) -> Found | None:
    """Grow the patterns of a first plan while a strip pays; then the best plan from them.

    The bound is that of the relaxed problem over all patterns. None when the lengths are too finely divided.
    """
    if sum(order.demands) * (max(order.rooms) + 1) > TABLE * 100 or max(order.rooms) > TABLE:
        return None
    begun = monotonic()
    patterns = list(dict.fromkeys((strip.room, strip.counts) for strip in first))
    costs = [cost / order.per_section for cost in order.costs]
    rows = [Row(lower=float(count)) for count in order.demands]
    bound = 0.0
    while monotonic() - begun < time_limit_s / 2 and not cancelled():
        columns = [_column(order, room, counts, costs[room]) for room, counts in patterns]
        relaxed = minimise(columns, rows, whole=False, time_limit_s=time_limit_s, cancelled=cancelled)
        if not relaxed.optimal:
            break
        priced = _price(order, relaxed.duals)
        worth = [value / cost for (value, _), cost in zip(priced, costs, strict=True)]
        bound = max(bound, relaxed.objective / max(1.0, *worth))
        known = set(patterns)
        better = [
            (room, counts)
            for room, (_, counts) in enumerate(priced)
            if worth[room] > 1 + 1e-9 and (room, counts) not in known
        ]
        if not better:
            break
        patterns += better
    left = max(0.1, time_limit_s - (monotonic() - begun))
    strips, _ = combine(order, patterns, time_limit_s=left, cancelled=cancelled)
    return strips, bound


def _price(order: Integers, duals: Sequence[float]) -> list[tuple[float, Counts]]:
    """For each room the pattern that is worth most at the given worth of the pieces: a bounded knapsack."""
    table: NDArray[np.float64] = np.zeros(max(order.rooms) + 1)
    taken: list[tuple[int, int, NDArray[np.uint8]]] = []
    for index, (size, demand) in enumerate(zip(order.sizes, order.demands, strict=True)):
        if duals[index] <= 0 or size >= len(table):
            continue
        for batch in _batches(min(demand, (len(table) - 1) // size)):
            weight = size * batch
            if weight >= len(table):
                continue
            with_it = table[:-weight] + duals[index] * batch
            better = with_it > table[weight:] + 1e-12
            table[weight:] = np.where(better, with_it, table[weight:])
            taken.append((index, batch, np.packbits(better)))
    return [_trace(order, table, taken, room) for room in order.rooms]


def _batches(count: int) -> list[int]:
    """Powers of two and a remainder from which every number up to ``count`` can be summed."""
    batches, batch = [], 1
    while count:
        batch = min(batch, count)
        batches.append(batch)
        count -= batch
        batch *= 2
    return batches


def _trace(
    order: Integers,
    table: NDArray[np.float64],
    taken: Sequence[tuple[int, int, NDArray[np.uint8]]],
    room: int,
) -> tuple[float, Counts]:
    counts, left = [0] * len(order.sizes), room
    for index, batch, bits in reversed(taken):
        cell = left - order.sizes[index] * batch
        if cell >= 0 and bits[cell >> 3] >> (7 - (cell & 7)) & 1:
            counts[index] += batch
            left = cell
    return float(table[room]), tuple(counts)
