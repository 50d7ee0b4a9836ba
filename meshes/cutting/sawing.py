"""Trees of cuts as sheets: where boards and offcuts lie, and the cuts in the order of sawing.

No recursion anywhere: the tree of a large sheet is a thousand cuts deep.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from meshes.cutting.guillotine import Cut, Node, Piece, in_order
from meshes.cutting.sheets import ZERO, Lying, SawLine, SheetLayout, SheetOrder, SheetPlan


def plan_of(order: SheetOrder, trees: Sequence[Node], bound: int) -> SheetPlan:
    """Trees of cuts back to exact rectangles; boards beyond the demand become offcuts."""
    waiting: dict[int, list[int]] = {index: [] for index in range(len(order.sizes))}
    place = {size: index for index, size in enumerate(order.sizes)}
    for number, board in enumerate(order.boards):
        waiting[place[board]].append(number)
    layouts = [layout for tree in trees if (layout := _layout(order, tree, waiting)).boards]
    assert not any(waiting.values()), "a plan must cut every board"
    return SheetPlan(order=order, layouts=tuple(layouts), bound=bound)


def _layout(order: SheetOrder, tree: Node, waiting: dict[int, list[int]]) -> SheetLayout:
    boards: list[Lying] = []
    offcuts: list[Lying] = []
    cuts: list[SawLine] = []
    walk = _Walk(order, waiting, boards, offcuts, cuts)
    walk.sheet(_wanted(tree, waiting))
    used = sum((one.width * one.height for one in (*boards, *offcuts)), ZERO)
    return SheetLayout(
        boards=tuple(boards),
        offcuts=tuple(offcuts),
        cuts=tuple(cuts),
        kerf_area=order.sheet[0] * order.sheet[1] - used,
    )


def _wanted(tree: Node, waiting: Mapping[int, Sequence[int]]) -> Node:
    """The tree without boards beyond the demand, and without cuts that would only free those."""
    missing = {size: len(boards) for size, boards in waiting.items()}
    nodes = in_order(tree)
    for place, node in enumerate(nodes):
        if isinstance(node, Piece):
            missing[node.size] -= 1
            nodes[place] = node if missing[node.size] >= 0 else None
    kept: list[Node] = []
    for node in reversed(nodes):
        if isinstance(node, Cut):
            first, second = kept.pop(), kept.pop()
            idle = first is None and second is None
            node = None if idle else Cut(node.upright, node.at, first, second)
        kept.append(node)
    return kept[0]


_Region = tuple[Node, int, int, int, int]
"""What is to be cut from (left, bottom, width, height), kerf beyond it included."""


@dataclass(frozen=True, slots=True)
class _Walk:
    order: SheetOrder
    waiting: dict[int, list[int]]
    boards: list[Lying]
    offcuts: list[Lying]
    cuts: list[SawLine]

    def sheet(self, tree: Node) -> None:
        """Cut a whole sheet."""
        whole = self.order.whole
        regions: list[_Region] = [(tree, 0, 0, whole(self.order.sheet[0]), whole(self.order.sheet[1]))]
        while regions:
            regions += reversed(self._cut(*regions.pop()))

    def _cut(self, node: Node, left: int, bottom: int, width: int, height: int) -> list["_Region"]:
        """Cut a region in two, or take it as it is; its sizes include the kerf beyond it, as all do here."""
        if isinstance(node, Piece):
            w, h = (self.order.whole(side) for side in self.order.sizes[node.size])
            w, h = (h, w) if node.turned else (w, h)
            if width > w:
                node = Cut(True, w, node, None)
            elif height > h:
                node = Cut(False, h, node, None)
            else:
                self.boards.append(
                    self._lying(left, bottom, w, h, self.waiting[node.size].pop(0), node.turned)
                )
                return []
        if node is None:
            kerf = int(self.order.kerf * self.order.scale)
            if width > kerf and height > kerf:
                self.offcuts.append(self._lying(left, bottom, width, height, -1, False))
            return []
        start, reach = (bottom, height) if node.upright else (left, width)
        position = (left if node.upright else bottom) + node.at
        exact = self.order.exact
        self.cuts.append(
            SawLine(
                upright=node.upright,
                at=exact(position) - self.order.kerf,
                start=exact(start),
                end=exact(start + reach) - self.order.kerf,
            )
        )
        if node.upright:
            return [
                (node.first, left, bottom, node.at, height),
                (node.second, left + node.at, bottom, width - node.at, height),
            ]
        return [
            (node.first, left, bottom, width, node.at),
            (node.second, left, bottom + node.at, width, height - node.at),
        ]

    def _lying(self, left: int, bottom: int, width: int, height: int, board: int, turned: bool) -> Lying:
        exact, kerf = self.order.exact, self.order.kerf
        return Lying(
            board=board,
            left=exact(left),
            bottom=exact(bottom),
            width=exact(width) - kerf,
            height=exact(height) - kerf,
            turned=turned,
        )
