"""Every set of boards that comes out of one sheet edge to edge, exactly, where boards are few a sheet.

For each set the smallest rectangles that hold it are kept: none of them both narrower and lower than another.
Two sets side by side, or one above the other, make a larger set (L. Stockmeyer, Information and Control 57,
1983). Whole numbers, kerf already part of every size (see ``guillotine``)::

    +-----+---+        +-----+
    |  a  | b |        |  b  |      the rectangles of {a, b}: (wa + wb, max(ha, hb)), (max(wa, wb), ha + hb)
    +-----+---+        +-----+
                       |  a  |
                       +-----+
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from meshes.cutting.guillotine import Cut, Node, Piece

Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Shape:
    """A rectangle that holds a set of boards, and the cuts that free them."""

    width: int
    height: int
    tree: Node


def sheets_full(
    sheet: tuple[int, int],
    sizes: Sequence[tuple[int, int]],
    demands: Sequence[int],
    *,
    may_turn: bool,
    limit: int,
) -> dict[Counts, Node] | None:
    """The largest sets that one sheet gives, with a tree of cuts each; None beyond ``limit`` joinings tried.

    A set is by how many of each size; sets inside another one are left out.
    """
    looked = 0
    shapes: dict[Counts, list[Shape]] = {}
    level = [tuple(int(index == other) for other in range(len(sizes))) for index in range(len(sizes))]
    for index, counts in enumerate(level):
        w, h = sizes[index]
        lying = [Shape(w, h, Piece(index, False))] + ([Shape(h, w, Piece(index, True))] if may_turn else [])
        shapes[counts] = _least(
            shape for shape in lying if shape.width <= sheet[0] and shape.height <= sheet[1]
        )
    maximal: dict[Counts, Node] = {}
    while level:
        larger: dict[Counts, list[Shape]] = {}
        for counts in level:
            grown = False
            for bigger in _one_more(counts, demands):
                if bigger not in larger:
                    found: list[Shape] = []
                    for one, other in _splits(bigger):
                        if shapes.get(one) and shapes.get(other):
                            looked += len(shapes[one]) * len(shapes[other])
                            found += _joined(shapes[one], shapes[other], sheet)
                    if looked > limit:
                        return None
                    larger[bigger] = _least(found)
                grown = grown or bool(larger[bigger])
            if not grown and shapes[counts]:
                maximal[counts] = shapes[counts][0].tree
        shapes |= larger
        level = [counts for counts, found in larger.items() if found]
    return maximal


def _one_more(counts: Counts, demands: Sequence[int]) -> Iterator[Counts]:
    for index, count in enumerate(counts):
        if count < demands[index]:
            yield (*counts[:index], count + 1, *counts[index + 1 :])


def _splits(counts: Counts) -> Iterator[tuple[Counts, Counts]]:
    """Every way to part a set in two, each once."""
    for one in product(*(range(count + 1) for count in counts)):
        other = tuple(whole - part for whole, part in zip(counts, one, strict=True))
        if any(one) and one <= other:
            yield one, other


def _joined(ones: Sequence[Shape], others: Sequence[Shape], sheet: tuple[int, int]) -> Iterator[Shape]:
    for a, b in product(ones, others):
        if a.width + b.width <= sheet[0]:
            height = max(a.height, b.height)
            yield Shape(a.width + b.width, height, Cut(True, a.width, a.tree, b.tree))
        if a.height + b.height <= sheet[1]:
            width = max(a.width, b.width)
            yield Shape(width, a.height + b.height, Cut(False, a.height, a.tree, b.tree))


def _least(shapes: Iterator[Shape] | Sequence[Shape]) -> list[Shape]:
    """Those that are not wider and higher than another, the narrowest first."""
    kept: list[Shape] = []
    for shape in sorted(shapes, key=lambda one: (one.width, one.height)):
        if not kept or shape.height < kept[-1].height:
            kept.append(shape)
    return kept
