"""The fewest sheets, proven: layouts generated while one pays, then the best plan from them.

The relaxed problem over all edge-to-edge layouts bounds every plan (P. C. Gilmore and R. E. Gomory,
Operations Research 13, 1965; before it has converged by A. A. Farley's bound, Operations Research 38, 1990).
"""

from collections import Counter
from collections.abc import Callable
from math import ceil
from time import monotonic

from meshes.cutting.guillotine import Cut, Node, Piece, best_layout
from meshes.cutting.sheets import SheetOrder, SheetPlan, plan_of

SLACK = 1e-6  # the solver's own tolerance, taken off its bound before rounding up


def proven_sheets(
    first: SheetPlan, *, time_limit_s: float = 10.0, cancelled: Callable[[], bool] = lambda: False
) -> SheetPlan:
    """The first plan improved and its bound raised; never worse than ``first`` on either side."""
    if first.proven:
        return first
    from meshes.cutting.solver import Column, Row, minimise

    order = first.order
    begun = monotonic()
    sheet = (order.whole(order.sheet[0]), order.whole(order.sheet[1]))
    sizes = [(order.whole(w), order.whole(h)) for w, h in order.sizes]
    rows = [Row(lower=float(count)) for count in order.demands]
    trees: list[Node] = [_tree_of_one(order, index) for index in range(len(sizes))]
    bound = float(first.bound)
    most = float(len(order.boards))

    def columns() -> list[Column]:
        return [
            Column(
                cost=1.0,
                upper=most,
                entries=tuple((row, float(n)) for row, n in sorted(_counts(tree).items())),
            )
            for tree in trees
        ]

    while monotonic() - begun < time_limit_s / 2 and not cancelled():
        relaxed = minimise(columns(), rows, whole=False, time_limit_s=time_limit_s, cancelled=cancelled)
        if not relaxed.optimal:
            break
        worth = [max(0.0, dual) for dual in relaxed.duals]
        value, tree = best_layout(*sheet, sizes, worth, may_turn=order.may_turn)
        bound = max(bound, relaxed.objective / max(1.0, value))
        if value <= 1 + 1e-9 or _counts(tree) in [_counts(known) for known in trees]:
            break
        trees.append(tree)
    proven = max(first.bound, ceil(bound * (1 - SLACK) - SLACK))
    left = max(0.1, time_limit_s - (monotonic() - begun))
    answer = minimise(columns(), rows, whole=True, time_limit_s=left, cancelled=cancelled)
    if answer.values and round(answer.objective) < first.count:
        chosen = [tree for tree, value in zip(trees, answer.values, strict=True) for _ in range(round(value))]
        return plan_of(order, chosen, proven)
    return SheetPlan(order=order, layouts=first.layouts, bound=proven)


def _tree_of_one(order: SheetOrder, index: int) -> Node:
    return Piece(index, not order.upright_fits(order.sizes[index]))


def _counts(tree: Node) -> Counter[int]:
    if isinstance(tree, Piece):
        return Counter({tree.size: 1})
    if isinstance(tree, Cut):
        return _counts(tree.first) + _counts(tree.second)
    return Counter()
