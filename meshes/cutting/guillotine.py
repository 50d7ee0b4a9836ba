"""Edge-to-edge cuts: the exact best layout of one sheet, copies without limit.

Only cuts that run from edge to edge of what is being cut can be made on a saw bench. A layout is a tree of
such cuts; whole numbers throughout, kerf already part of every size (a cut that takes ``k`` turns
``W = a + k + b`` into ``W + k = (a + k) + (b + k)``, so nothing else changes)::

    +-------+-----+      Cut(upright, at 7,
    |       |  B  |          Piece A,
    |   A   |-----|          Cut(level, at 2, nothing, Piece B))
    |       |     |
    +-------+-----+

The recursion is that of P. C. Gilmore and R. E. Gomory, Operations Research 14 (1966), on the positions that
sums of sizes can reach (J. C. Herz, IBM Journal 16, 1972).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Piece:
    """One of the wanted sizes, by index; it may be smaller than the region it lies in."""

    size: int
    turned: bool


@dataclass(frozen=True, slots=True)
class Cut:
    """``upright``: at a distance from the left; otherwise from the bottom. ``first`` lies left or below."""

    upright: bool
    at: int
    first: "Node"
    second: "Node"


Node = Piece | Cut | None


def in_order(tree: Node) -> list[Node]:
    """All of the tree, each node before what is cut from it, left or lower part first; None included."""
    found: list[Node] = []
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        found.append(node)
        if isinstance(node, Cut):
            waiting += (node.second, node.first)
    return found


def reachable(room: int, sizes: Sequence[int]) -> list[int]:
    """All sums of sizes up to ``room``, 0 included, rising."""
    sums = {0}
    for size in sorted(set(sizes), reverse=True):
        for start in sorted(sums):
            sums.update(range(start + size, room + 1, size))
    return sorted(sums)


class _Axis:
    """The positions along one side of the sheet that cuts can reach."""

    def __init__(self, room: int, sizes: Sequence[int]) -> None:
        self.points = np.array(reachable(room, sizes), dtype=np.int64)

    def floor(self, position: int | NDArray[np.int64]) -> NDArray[np.intp]:
        """Index of the last point not beyond the position."""
        return np.searchsorted(self.points, position, side="right") - 1

    def splits(self, index: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Every way to split the point in two: the smaller part, and what the other part still reaches."""
        room = self.points[index]
        first = np.arange(1, int(self.floor(int(room) // 2)) + 1)
        return first, self.floor(room - self.points[first])


def best_layout(
    width: int, height: int, sizes: Sequence[tuple[int, int]], values: Sequence[float], *, may_turn: bool
) -> tuple[float, Node]:
    """The most valuable layout of a sheet and the tree of its cuts.

    sizes : (width, height) each, > 0; values : >= 0 each. ``may_turn``: every size may also lie on its side.
    """
    lying = [(w, h, index, False) for index, (w, h) in enumerate(sizes)]
    if may_turn:
        lying += [(h, w, index, True) for index, (w, h) in enumerate(sizes) if w != h]
    across = _Axis(width, [w for w, h, _, _ in lying if h <= height])
    upward = _Axis(height, [h for w, h, _, _ in lying if w <= width])
    shape = (len(across.points), len(upward.points))
    best = np.zeros(shape)
    piece = np.full(shape, -1, dtype=np.int32)
    for number, (w, h, index, _) in enumerate(lying):
        if w <= width and h <= height:
            corner = (slice(int(across.floor(w)), None), slice(int(upward.floor(h)), None))
            better = values[index] > best[corner]
            best[corner][better] = values[index]
            piece[corner][better] = number
    upright = np.zeros(shape, dtype=np.int32)
    level = np.zeros(shape, dtype=np.int32)
    level_splits = [upward.splits(j) for j in range(shape[1])]
    for i in range(1, shape[0]):
        first, second = across.splits(i)
        if len(first):
            sums = best[first] + best[second]
            choice = np.argmax(sums, axis=0)
            most = sums[choice, np.arange(shape[1])]
            better = most > best[i]
            upright[i] = np.where(better, first[choice], 0)
            best[i] = np.where(better, most, best[i])
        row = best[i]
        for j, (low, high) in enumerate(level_splits):
            if len(low):
                column_sums = row[low] + row[high]
                k = int(np.argmax(column_sums))
                if column_sums[k] > row[j]:
                    row[j] = column_sums[k]
                    level[i, j] = low[k]

    def parts(w: int, h: int) -> tuple[bool, int] | Node:
        """How the region is cut (upright, at), or what lies in it."""
        i, j = int(across.floor(w)), int(upward.floor(h))
        if level[i, j]:
            return False, int(upward.points[level[i, j]])
        if upright[i, j]:
            return True, int(across.points[upright[i, j]])
        if piece[i, j] < 0 or best[i, j] == 0:
            return None
        return Piece(lying[piece[i, j]][2], lying[piece[i, j]][3])

    return float(best[-1, -1]), _traced(width, height, parts)


def _traced(width: int, height: int, parts: Callable[[int, int], tuple[bool, int] | Node]) -> Node:
    """The tree of a region, from how each region is cut; without recursion, since it may be deep."""
    regions = [(width, height)]
    cuts: list[tuple[bool, int] | Node] = []
    for w, h in regions:
        cut = parts(w, h)
        cuts.append(cut)
        if isinstance(cut, tuple):
            upright, at = cut
            regions += [(at, h), (w - at, h)] if upright else [(w, at), (w, h - at)]
    after = len(regions)
    trees: dict[int, Node] = {}
    for index in range(len(regions) - 1, -1, -1):
        cut = cuts[index]
        if isinstance(cut, tuple):
            after -= 2
            trees[index] = Cut(*cut, trees[after], trees[after + 1])
        else:
            trees[index] = cut
    return trees[0]
