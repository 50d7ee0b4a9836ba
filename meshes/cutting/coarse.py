"""Many nearly equal lengths as a few: slats cut to a sloping ceiling differ by a millimetre each.

::

    lengths   2381.2 2380.6 2380.1 | 2371.9 2371.2      groups of neighbours
    longest   2381.2 2381.2 2381.2 | 2371.9 2371.9      a plan for these cuts the true lengths as well
    shortest  2380.1 2380.1 2380.1 | 2371.2 2371.2      a bound for these is one for the true lengths

With a dozen groups both are found quickly; where plan and bound meet, the plan is proven.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from time import monotonic

from meshes.cutting import patterns
from meshes.cutting.fill import Integers, Strip, first_strips

GROUPS = (6, 12, 20, 32)
"""Numbers of groups tried one after the other, finer each time."""
FINE = 16
"""Fewer different lengths than this are not grouped."""
UNITS = 20_000
"""The longest room in coarse units: a quarter of a millimetre of 4.8 m."""
LISTED = 6000
"""Patterns listed for one grouping; beyond it they are generated."""

Groups = list[tuple[int, int]]
"""(first, after the last) index of each group among the sizes, which fall."""


def grouped(
    order: Integers, *, time_limit_s: float, cancelled: Callable[[], bool]
) -> Iterator[tuple[tuple[Strip, ...], float]]:
    """Plans of the true lengths (none if not found in time) and bounds, better with every grouping."""
    if len(order.sizes) < FINE:
        return
    begun = monotonic()
    for count in GROUPS:
        groups = groups_of(order, count)
        for longest in (True, False):
            left = time_limit_s - (monotonic() - begun)
            if left <= 0.05 or cancelled() or len(groups) == len(order.sizes):
                return
            coarse = coarser(order, groups, longest=longest)
            strips, bound = _solved(coarse, left / 2, cancelled)
            yield (_true(order, groups, strips), float("-inf")) if longest else ((), bound)


def groups_of(order: Integers, count: int) -> Groups:
    """At most ``count`` groups of neighbouring sizes: always the widest group is halved next."""
    groups: Groups = [(0, len(order.sizes))]
    sizes, demands = order.sizes, order.demands

    def width(group: tuple[int, int]) -> int:
        first, after = group
        return (sizes[first] - sizes[after - 1]) * sum(demands[first:after])

    while len(groups) < count:
        widest = max(groups, key=width)
        first, after = widest
        if width(widest) == 0:
            break
        middle = (sizes[first] + sizes[after - 1]) / 2
        at = next(index for index in range(first, after) if sizes[index] < middle)
        groups.remove(widest)
        groups += [(first, at), (at, after)]
    return sorted(groups)


def coarser(order: Integers, groups: Groups, *, longest: bool) -> Integers:
    """The order with every group as its ``longest`` size, or as its shortest.

    Lengths become whole numbers of a coarse unit as well, each to the side that keeps plan or bound sound.
    """
    unit = max(order.rooms) // UNITS + 1
    sizes = (order.sizes[first if longest else after - 1] for first, after in groups)
    return replace(
        order,
        sizes=tuple(-(-size // unit) if longest else size // unit for size in sizes),
        rooms=tuple(room // unit if longest else -(-room // unit) for room in order.rooms),
        demands=tuple(sum(order.demands[first:after]) for first, after in groups),
    )


def _solved(
    coarse: Integers, time_limit_s: float, cancelled: Callable[[], bool]
) -> tuple[tuple[Strip, ...], float]:
    listed = patterns.maximal(coarse, LISTED)
    if listed is not None:
        return patterns.combine(coarse, listed, time_limit_s=time_limit_s, cancelled=cancelled)
    grown = patterns.generated(coarse, first_strips(coarse), time_limit_s=time_limit_s, cancelled=cancelled)
    return grown if grown is not None else ((), float("-inf"))


def _true(order: Integers, groups: Groups, strips: tuple[Strip, ...]) -> tuple[Strip, ...]:
    """The same strips with true sizes in the places of their groups, the largest first."""
    left = list(order.demands)
    found = []
    for strip in strips:
        for _ in range(strip.times):
            counts = [0] * len(order.sizes)
            for (first, after), wanted in zip(groups, strip.counts, strict=True):
                for index in range(first, after):
                    taken = min(wanted - sum(counts[first:after]), left[index])
                    counts[index] += taken
                    left[index] -= taken
            found.append(Strip(room=strip.room, counts=tuple(counts), times=1))
    return tuple(found) if not any(left) else ()
