"""The lengths that a crosscut list asks for: how many of each, for which slats, and their sloping tops."""

from collections import Counter
from gettext import gettext as _
from math import atan2, degrees

from meshes.cutting.timber import Timber
from viewer.drawings.figures import figure
from viewer.sheets.book import Book, Column

MOST_LENGTHS = 20
"""Lengths that stand in one column with room for all their slats."""


def add_wanted(book: Book, one: Timber, *, several: bool) -> None:
    """The lengths with their slats; many of them, as under a sloping ceiling, twice beside each other."""
    demand = one.demand
    wanted = Counter(piece.length for piece in demand.pieces)
    heads = (_("Length, mm"), _("On the wall"), _("To cut"))
    figures = [Column(head=head, share=2, end=True) for head in heads]
    rows = [
        (
            figure(length),
            str(wanted[length]),
            str(demand.to_cut.get(length, 0)),
            _which(one, length, several=several),
        )
        for length in sorted(wanted, reverse=True)
    ]
    if len(rows) > MOST_LENGTHS:
        book.side_by_side([*figures, Column(head=_("Slats"), share=4)], rows)
    else:
        book.table([*figures, Column(head=_("Slats"), share=9)], rows)


def add_from_rests(book: Book, one: Timber) -> None:
    """Slats that need no section of their own: what ripping wider ones left gives them."""
    if not one.from_rests:
        return
    book.heading(_("First out of the rests of wider slats"))
    book.table(
        [
            Column(head=_("Rest, mm"), share=3),
            Column(head=_("Rests"), share=1.5, end=True),
            Column(head=_("Fence, mm"), share=3, end=True),
            Column(head=_("Strips"), share=1.5, end=True),
            Column(head=_("Pieces of a strip, mm"), share=6),
        ],
        [
            (
                " × ".join(figure(side) for side in (taken.bar.width, taken.bar.depth, taken.bar.length)),
                str(taken.bars) if number == 0 else "",
                f"{figure(taken.rip.sawn_width)}, {figure(taken.rip.sawn_depth)}",
                str(pattern.times),
                " + ".join(figure(piece) for piece in pattern.pieces),
            )
            for taken in one.from_rests
            for number, pattern in enumerate(taken.patterns)
        ],
    )


def add_tops(book: Book, one: Timber, *, several: bool) -> None:
    """Slats whose tops are cut to a sloping ceiling, each with both its sides."""
    swept = [piece for piece in one.demand.pieces if piece.shorter is not None]
    if not swept:
        return
    book.heading(_("Tops cut to the ceiling"), keep=50)
    book.text(
        _("Cut each to its longer side first. Then mark the shorter one, seen from the room, and cut across.")
    )
    sides = {"left": _("left"), "right": _("right")}
    book.side_by_side(
        [
            Column(head=_("Slat"), share=1.6, end=True),
            Column(head=_("Longer side, mm"), share=2.6, end=True),
            Column(head=_("Shorter side, mm"), share=2.6, end=True),
            Column(head=_("Longer at"), share=2.4),
            Column(head=_("Off square"), share=2, end=True),
        ],
        [
            (
                f"{piece.wall + 1}/{piece.slat + 1}" if several else str(piece.slat + 1),
                figure(piece.length),
                figure(piece.shorter),
                sides[piece.longer_at],
                f"{degrees(atan2(piece.length - piece.shorter, piece.width)):.2f}°",
            )
            for piece in swept
            if piece.shorter is not None
        ],
    )


def _which(one: Timber, length: object, *, several: bool) -> str:
    """Slats of a length as ``1–24, 29``, counted from 1; by wall where there are several."""
    by_wall: dict[int, list[int]] = {}
    for piece in one.demand.pieces:
        if piece.length == length:
            by_wall.setdefault(piece.wall, []).append(piece.slat + 1)
    words = []
    for wall, slats in by_wall.items():
        listed = ", ".join(ranges(slats))
        words.append(
            _("wall %(wall)d: %(slats)s") % {"wall": wall + 1, "slats": listed} if several else listed
        )
    return "; ".join(words)


def ranges(numbers: list[int]) -> list[str]:
    """``[1, 2, 3, 5, 5]`` as ``1–3``, ``5``, ``5``."""
    found: list[list[int]] = []
    for number in sorted(numbers):
        if found and number == found[-1][1] + 1:
            found[-1][1] = number
        else:
            found.append([number, number])
    return [f"{low}" if low == high else f"{low}–{high}" for low, high in found]
