"""The crosscutting plan that is proven best, or the gap that is left when time runs out.

Exact models of the same order, tried in this order: all maximal patterns (few different lengths: the usual
wall); nearly equal lengths in groups; generated patterns, whose relaxed bound is usually met; a flow along
the strip.
"""

from collections.abc import Callable, Iterator
from fractions import Fraction
from math import isfinite
from time import monotonic

from meshes.cutting.crosscut import Crosscut, plan_of
from meshes.cutting.fill import Integers, Strip, cost_of
from meshes.cutting.weights import round_up

PATTERNS = 20_000  # beyond this many they are generated instead of listed
QUICK = 1_500  # up to this many are combined at once; otherwise nearly equal lengths are grouped first
ARCS = 60_000  # beyond this many the flow model is not built
SLACK = Fraction(1, 10**6)  # the solver's own tolerance, taken off its bound before rounding up


def proven_plan(
    first: Crosscut, *, time_limit_s: float = 10.0, cancelled: Callable[[], bool] = lambda: False
) -> Crosscut:
    """The first plan improved and its bound raised; never worse than ``first`` on either side.

    ``cancelled`` is asked while it works; the best plan by then comes back. Within the time limit the same
    order gives the same plan.
    """
    if first.proven:
        return first
    order = first.order.integers
    strips = _strips_of(first)
    cost, bound = int(first.cost * order.cost_scale), int(first.bound * order.cost_scale)
    for found, raw_bound in _attempts(order, strips, time_limit_s, cancelled):
        if isfinite(raw_bound):
            bound = max(bound, round_up(order, Fraction(raw_bound) * (1 - SLACK) - SLACK))
        if found and cost_of(order, found) < cost:
            strips, cost = found, cost_of(order, found)
        if cost == bound or cancelled():
            break
    return plan_of(first.order, strips, bound)


def _attempts(
    order: Integers, first: tuple[Strip, ...], time_limit_s: float, cancelled: Callable[[], bool]
) -> Iterator[tuple[tuple[Strip, ...], float]]:
    # the solver takes a third of a second to load; a plan that is proven without it never pays for that
    from meshes.cutting import coarse, flow, patterns

    begun = monotonic()
    listed = patterns.maximal(order, PATTERNS)
    if listed is None or len(listed) > QUICK:
        yield from coarse.grouped(order, time_limit_s=time_limit_s / 2, cancelled=cancelled)
    if listed is not None:
        left = max(0.1, time_limit_s - (monotonic() - begun))
        yield patterns.combine(order, listed, time_limit_s=left, cancelled=cancelled)
        return
    grown = patterns.generated(order, first, time_limit_s=time_limit_s / 2, cancelled=cancelled)
    if grown is not None:
        yield grown
    left = time_limit_s - (monotonic() - begun)
    graph = flow.build(order, ARCS) if left > 0 else None
    if graph is not None:
        yield flow.solve(graph, order, time_limit_s=left, cancelled=cancelled)


def _strips_of(plan: Crosscut) -> tuple[Strip, ...]:
    on_sale = sorted(plan.order.stock)
    lengths = sorted((length for length, count in plan.order.pieces.items() if count), reverse=True)
    return tuple(
        Strip(
            room=on_sale.index(pattern.stock_length),
            counts=tuple(pattern.pieces.count(length) for length in lengths),
            times=pattern.times,
        )
        for pattern in plan.patterns
    )
