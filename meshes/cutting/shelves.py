"""The first sheet plan: boards one after the other into whatever room is left, edge to edge.

Each board goes into the corner of a free region; the region is then cut either upright or level first, which
leaves two new free regions. Several orders and cutting rules are tried; the fewest sheets win.
"""

from dataclasses import dataclass, field
from typing import Literal

from meshes.cutting.guillotine import Cut, Node, Piece
from meshes.cutting.sawing import plan_of
from meshes.cutting.sheets import SheetOrder, SheetPlan, lower_bound, orders_of_attack

Rule = Literal["upright", "level", "larger"]
RULES: tuple[Rule, ...] = ("upright", "level", "larger")
MANY = 60  # boards beyond which one order is tried instead of three


def first_sheets(order: SheetOrder) -> SheetPlan:
    """A good plan at once with its bound. Every board must fit the sheet (``SheetOrder.fits``)."""
    bound = lower_bound(order)
    best: list[Node] | None = None
    for number, attack in enumerate(orders_of_attack(order)):
        for rule in RULES:
            if best is not None and len(best) <= bound:
                break
            if number == 0 or len(attack) <= MANY:
                trees = _packed(order, attack, rule)
                if best is None or len(trees) < len(best):
                    best = trees
    return plan_of(order, best or [], bound)


@dataclass(slots=True)
class _Free:
    """A region of a sheet that grows into a tree as boards are put in."""

    width: int
    height: int
    piece: Piece | None = None
    upright: bool = True
    at: int = 0
    parts: list["_Free"] = field(default_factory=list)

    def tree(self) -> Node:
        """The cuts that free what lies in it. No recursion: a large sheet's tree is a thousand cuts deep."""
        regions = [self]
        for region in regions:
            regions += region.parts
        made: dict[int, Node] = {}
        for region in reversed(regions):
            made[id(region)] = region.piece
            if region.parts:
                first, second = (made.pop(id(part)) for part in region.parts)
                made[id(region)] = Cut(region.upright, region.at, first, second)
        return made[id(self)]

    def divide(self, upright: bool, at: int) -> tuple["_Free", "_Free"]:
        self.upright, self.at = upright, at
        if upright:
            self.parts = [_Free(at, self.height), _Free(self.width - at, self.height)]
        else:
            self.parts = [_Free(self.width, at), _Free(self.width, self.height - at)]
        return self.parts[0], self.parts[1]


def _packed(order: SheetOrder, attack: list[int], rule: Rule) -> list[Node]:
    sheet = (order.whole(order.sheet[0]), order.whole(order.sheet[1]))
    sizes = [(order.whole(w), order.whole(h)) for w, h in order.sizes]
    narrow, low = (min(sides) for sides in zip(*sizes, strict=True))
    if order.may_turn:
        narrow = low = min(narrow, low)
    roots: list[_Free] = []
    free: list[_Free] = []
    for index in attack:
        lying = [(*sizes[index], False)]
        if order.may_turn and sizes[index][0] != sizes[index][1]:
            lying.append((sizes[index][1], sizes[index][0], True))
        choice = _tightest(free, lying)
        if choice is None:
            roots.append(_Free(*sheet))
            free.append(roots[-1])
            choice = _tightest(free[-1:], lying)
            assert choice is not None, "every board fits the sheet"
        region, (w, h, turned) = choice
        free = [other for other in free if other is not region]
        left = _put(region, w, h, Piece(index, turned), rule)
        free += [other for other in left if other.width >= narrow and other.height >= low]
    return [root.tree() for root in roots]


Way = tuple[int, int, bool]


def _tightest(free: list[_Free], lying: list[Way]) -> tuple[_Free, Way] | None:
    """The region and way to lie that leave the least on the tighter side, the earliest sheet on a tie."""
    fitting = [
        (min(region.width - way[0], region.height - way[1]), number, region, way)
        for number, region in enumerate(free)
        for way in lying
        if way[0] <= region.width and way[1] <= region.height
    ]
    if not fitting:
        return None
    _, _, region, way = min(fitting, key=lambda one: one[:2])
    return region, way


def _put(region: _Free, w: int, h: int, piece: Piece, rule: Rule) -> list[_Free]:
    """Cut the board's corner out of a region; gives the free regions that are left."""
    aside, above = region.width - w, region.height - h
    upright_first = rule == "upright" or (rule == "larger" and aside * region.height >= above * region.width)
    left: list[_Free] = []
    for upright in (upright_first, not upright_first):
        rest = aside if upright else above
        if rest:
            region, other = region.divide(upright, w if upright else h)
            left.append(other)
    region.piece = piece
    return left
