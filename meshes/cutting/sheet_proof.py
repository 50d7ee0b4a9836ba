"""The fewest sheets, proven: every full sheet listed, or sheets generated while one pays.

Large boards give few sets that fill a sheet: all are listed (``shapes``) and the answer is exact. With many
small boards the relaxed problem over all edge-to-edge layouts bounds every plan (P. C. Gilmore and R. E.
Gomory, Operations Research 13, 1965; before it has converged by A. A. Farley's bound, Operations Research 38,
1990).
"""

from collections import Counter
from collections.abc import Callable, Sequence
from math import ceil
from time import monotonic
from typing import TYPE_CHECKING

from meshes.cutting.guillotine import Node, Piece, best_layout, in_order
from meshes.cutting.sawing import plan_of
from meshes.cutting.shapes import sheets_full
from meshes.cutting.sheets import SheetOrder, SheetPlan

if TYPE_CHECKING:
    from meshes.cutting.solver import Column

SLACK = 1e-6  # the solver's own tolerance, taken off its bound before rounding up
JOININGS = 300_000  # pairs of rectangles tried before listing is given up: about a second
Sizes = list[tuple[int, int]]


def proven_sheets(
    first: SheetPlan, *, time_limit_s: float = 10.0, cancelled: Callable[[], bool] = lambda: False
) -> SheetPlan:
    """The first plan improved and its bound raised; never worse than ``first`` on either side."""
    if first.proven:
        return first
    order = first.order
    begun = monotonic()
    sheet = (order.whole(order.sheet[0]), order.whole(order.sheet[1]))
    sizes = [(order.whole(w), order.whole(h)) for w, h in order.sizes]
    full = sheets_full(sheet, sizes, order.demands, may_turn=order.may_turn, limit=JOININGS)
    if full is not None:
        trees, bound = list(full.values()), 0.0
    else:
        trees, bound = _generated(order, sheet, sizes, time_limit_s / 2, cancelled)
    left = max(0.1, time_limit_s - (monotonic() - begun))
    chosen, least = _combined(order, trees, left, cancelled)
    if full is not None:
        bound = least  # nothing but the listed sheets can be cut, so the bound within them is one of all
    proven = max(first.bound, ceil(bound * (1 - SLACK) - SLACK))
    if chosen and len(chosen) < first.count:
        return plan_of(order, chosen, proven)
    return SheetPlan(order=order, layouts=first.layouts, bound=proven)


def _generated(
    order: SheetOrder,
    sheet: tuple[int, int],
    sizes: Sizes,
    time_limit_s: float,
    cancelled: Callable[[], bool],
) -> tuple[list[Node], float]:
    """Layouts that pay, and the bound of the relaxed problem over all layouts."""
    from meshes.cutting.solver import Row, minimise

    begun = monotonic()
    rows = [Row(lower=float(count)) for count in order.demands]
    trees: list[Node] = [_tree_of_one(order, index) for index in range(len(sizes))]
    known = {tuple(sorted(_counts(tree).items())) for tree in trees}
    bound = 0.0
    while monotonic() - begun < time_limit_s and not cancelled():
        relaxed = minimise(
            _columns(order, trees), rows, whole=False, time_limit_s=time_limit_s, cancelled=cancelled
        )
        if not relaxed.optimal:
            break
        worth = [max(0.0, dual) for dual in relaxed.duals]
        value, tree = best_layout(*sheet, sizes, worth, may_turn=order.may_turn)
        bound = max(bound, relaxed.objective / max(1.0, value))
        key = tuple(sorted(_counts(tree).items()))
        if value <= 1 + 1e-9 or key in known:
            break
        known.add(key)
        trees.append(tree)
    return trees, bound


def _combined(
    order: SheetOrder, trees: Sequence[Node], time_limit_s: float, cancelled: Callable[[], bool]
) -> tuple[list[Node], float]:
    """The fewest of the given layouts that hold all boards (none if not found in time), and their bound."""
    from meshes.cutting.solver import Row, minimise

    rows = [Row(lower=float(count)) for count in order.demands]
    answer = minimise(
        _columns(order, trees), rows, whole=True, time_limit_s=time_limit_s, cancelled=cancelled
    )
    chosen = [
        tree for tree, value in zip(trees, answer.values or (), strict=False) for _ in range(round(value))
    ]
    return chosen, answer.bound


def _columns(order: SheetOrder, trees: Sequence[Node]) -> list["Column"]:
    from meshes.cutting.solver import Column

    return [
        Column(
            cost=1.0,
            upper=float(len(order.boards)),
            entries=tuple((row, float(count)) for row, count in sorted(_counts(tree).items())),
        )
        for tree in trees
    ]


def _tree_of_one(order: SheetOrder, index: int) -> Node:
    return Piece(index, not order.upright_fits(order.sizes[index]))


def _counts(tree: Node) -> Counter[int]:
    return Counter(node.size for node in in_order(tree) if isinstance(node, Piece))
