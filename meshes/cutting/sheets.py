"""Boards from sheets: edge-to-edge cuts, the fewest sheets, and a number of sheets that no plan can beat.

A sheet lies with its first size across and its second upward, as the panels stand on the wall. Boards may be
turned only where their grain allows it. Kerf becomes part of every size (see ``guillotine``), so everything
between the exact lengths at the two ends is whole numbers.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import ceil, lcm

import numpy as np

from meshes.cutting.weights import scales

ZERO = Fraction(0)
Size = tuple[Fraction, Fraction]


@dataclass(frozen=True, kw_only=True)
class SheetOrder:
    """Boards wanted, by (width, height) as they stand on the wall, from one size of sheet; mm."""

    boards: tuple[Size, ...]
    sheet: Size
    kerf: Fraction
    may_turn: bool

    def fits(self, board: Size) -> bool:
        """Whether one board comes out of one sheet at all."""
        return self.upright_fits(board) or (self.may_turn and self.upright_fits((board[1], board[0])))

    def upright_fits(self, board: Size) -> bool:
        """Whether it does so without being turned."""
        return board[0] <= self.sheet[0] and board[1] <= self.sheet[1]

    @cached_property
    def sizes(self) -> tuple[Size, ...]:
        """The different boards, the tallest first."""
        return tuple(sorted(set(self.boards), key=lambda size: (-size[1], -size[0])))

    @cached_property
    def demands(self) -> tuple[int, ...]:
        counted = Counter(self.boards)
        return tuple(counted[size] for size in self.sizes)

    @cached_property
    def scale(self) -> int:
        values = (*self.sheet, self.kerf, *(side for size in self.sizes for side in size))
        return lcm(*(value.denominator for value in values))

    def whole(self, length: Fraction) -> int:
        """A length with its kerf in whole numbers."""
        return int((length + self.kerf) * self.scale)

    def exact(self, whole: int) -> Fraction:
        """Back to mm, as a position (no kerf taken off)."""
        return Fraction(whole, self.scale)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lying:
    """A rectangle on the sheet [mm]. ``board`` is the index in ``SheetOrder.boards``, -1 for an offcut."""

    board: int
    left: Fraction
    bottom: Fraction
    width: Fraction
    height: Fraction
    turned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SawLine:
    """One cut in the order of sawing: upright at ``at`` from the left or level from the bottom; its reach."""

    upright: bool
    at: Fraction
    start: Fraction
    end: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLayout:
    """One sheet: boards, offcuts and cuts. Boards + offcuts + kerf = sheet, exactly."""

    boards: tuple[Lying, ...]
    offcuts: tuple[Lying, ...]
    cuts: tuple[SawLine, ...]
    kerf_area: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlan:
    """All sheets, and the fewest that any plan needs."""

    order: SheetOrder
    layouts: tuple[SheetLayout, ...]
    bound: int

    @property
    def count(self) -> int:
        return len(self.layouts)

    @property
    def proven(self) -> bool:
        return self.count == self.bound


def lower_bound(order: SheetOrder) -> int:
    """The fewest sheets, as far as weights prove it: products of dual feasible functions of both sides.

    S. P. Fekete and J. Schepers, Mathematics of Operations Research 29 (2004); a board that may be turned
    takes the lesser weight of its two ways to lie.
    """
    if not order.boards:
        return 0
    sheet = [order.whole(side) for side in order.sheet]
    ways = [[[Fraction(order.whole(side), room) for side in size] for room in sheet] for size in order.sizes]
    upright = [(way[0][0], way[1][1]) for way in ways]
    turned = [(way[0][1], way[1][0]) for way in ways]
    across = scales([share for pair in (*upright, *turned) for share in pair[:1]])
    upward = scales([share for pair in (*upright, *turned) for share in pair[1:]])

    def table(
        lying: Sequence[tuple[Fraction, Fraction]],
    ) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
        w = np.array([float(pair[0]) for pair in lying])
        h = np.array([float(pair[1]) for pair in lying])
        products = (
            np.array([one.roughly(w) for one in across])[:, None, :]
            * np.array([one.roughly(h) for one in upward])[None, :, :]
        )
        return np.where((w <= 1) & (h <= 1), products, np.inf)

    weights = np.minimum(table(upright), table(turned)) if order.may_turn else table(upright)
    totals = weights @ np.array(order.demands, dtype=float)
    row, column = np.unravel_index(int(np.argmax(totals)), totals.shape)
    f, g = across[int(row)], upward[int(column)]
    exact = ZERO
    for count, *lying in zip(order.demands, upright, turned, strict=True):
        exact += count * min(
            f.exact(w) * g.exact(h) for w, h in (lying if order.may_turn else lying[:1]) if w <= 1 and h <= 1
        )
    return ceil(exact)


def orders_of_attack(order: SheetOrder) -> Iterator[list[int]]:
    """The boards as size indices, in the few orders in which the first plan tries them."""
    indices = [index for index, count in enumerate(order.demands) for _ in range(count)]
    sides = order.sizes
    yield sorted(indices, key=lambda index: (-sides[index][1], -sides[index][0]))
    yield sorted(indices, key=lambda index: (-sides[index][0], -sides[index][1]))
    yield sorted(indices, key=lambda index: -sides[index][0] * sides[index][1])
