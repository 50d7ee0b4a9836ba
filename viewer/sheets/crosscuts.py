"""Crosscut sheets: lengths wanted, cuts with their stops, small strips from what is left."""

from collections import Counter
from fractions import Fraction
from gettext import gettext as _
from gettext import ngettext
from math import atan2, degrees

from meshes.cutting.crosscut import Crosscut
from meshes.cutting.plan import Plan
from meshes.cutting.timber import Timber
from viewer.drawings.figures import figure
from viewer.drawings.strips import strip_drawing
from viewer.export.cutting_tables import stops
from viewer.sheets.book import Book, Column
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright

MOST_DRAWN = 12
"""Cuts drawn one by one; more take more paper than they explain."""
MOST_LENGTHS = 20
"""Lengths that stand in one column with room for all their slats."""


def add_crosscuts(book: Book, matter: Matter, plan: Plan) -> None:
    """Sections, lengths wanted by slat, and the cuts, with the offcuts that stay."""
    sheet = upright(matter.paper)
    book.begin(sheet, _("Crosscut list"))
    rows = [(figure(length), str(count)) for length, count in plan.sections.items()]
    book.heading(_("Sections"), keep=10)
    section = " × ".join(figure(side) for side in plan.stock.section_mm)
    book.text(_("%(section)s mm, sawn") % {"section": section})
    book.table(
        [Column(head=_("Length, mm"), share=2, end=True), Column(head=_("Sections"), share=2, end=True)],
        rows,
        within=(sheet.left, sheet.left + 70),
    )
    for one in plan.timber:
        demand, crosscut = one.demand, one.crosscut
        book.heading(
            _("Slats %(width)s × %(depth)s mm: lengths wanted")
            % {"width": figure(demand.width), "depth": figure(demand.depth)}
        )
        book.text(
            _("%(pieces)d pieces, %(spares)d whole spares, %(culls)d sorted out and replaced.")
            % {"pieces": len(demand.pieces), "spares": demand.spares, "culls": len(demand.culls)}
        )
        _wanted(book, one, several=len(matter.set_outs) > 1)
        _from_rests(book, one)
        _tops(book, one, several=len(matter.set_outs) > 1)
        if any(cull.pieces for cull in demand.culls):
            book.text(
                _(
                    "Short pieces that are not cut from fresh strips come out of the sound parts of what "
                    "was sorted out."
                )
            )
        book.heading(_("Cuts"))
        state = (
            _("proven the least")
            if plan.timber_proven
            else _("at most %(share).1f %% over the least") % {"share": float(plan.timber_gap) * 100}
        )
        book.text(
            _(
                "Trim %(trim)s mm off the first end, then cut to the stops; kerf %(kerf)s mm. Timber "
                "bought: %(state)s."
            )
            % {"trim": figure(crosscut.order.end_trim), "kerf": figure(crosscut.order.kerf), "state": state}
        )
        _patterns(book, crosscut)
        for length, count in crosscut.uncut:
            book.text(
                ngettext(
                    "%(count)d strip of %(length)s mm stays whole.",
                    "%(count)d strips of %(length)s mm stay whole.",
                    count,
                )
                % {"count": count, "length": figure(length)},
                lead="–",
                lead_width=4,
            )


def _wanted(book: Book, one: Timber, *, several: bool) -> None:
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


def _from_rests(book: Book, one: Timber) -> None:
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


def _tops(book: Book, one: Timber, *, several: bool) -> None:
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


def _patterns(book: Book, crosscut: Crosscut) -> None:
    """The cuts as drawings; more than a few of them as a list."""
    if len(crosscut.patterns) > MOST_DRAWN:
        book.table(
            [
                Column(head=_("Cut"), share=1.1, end=True),
                Column(head=_("Times"), share=1.4, end=True),
                Column(head=_("Strip, mm"), share=1.8, end=True),
                Column(head=_("Pieces, mm"), share=5),
                Column(head=_("Stops from the strip's end, mm"), share=8),
            ],
            [
                (
                    str(number),
                    str(pattern.times),
                    figure(pattern.stock_length),
                    " + ".join(figure(piece) for piece in pattern.pieces),
                    ", ".join(f"{figure(start)}–{figure(end)}" for start, end in stops(crosscut, pattern)),
                )
                for number, pattern in enumerate(crosscut.patterns, start=1)
            ],
        )
        return
    longest = max((pattern.stock_length for pattern in crosscut.patterns), default=Fraction(0))
    for number, pattern in enumerate(crosscut.patterns, start=1):
        book.drawing(
            strip_drawing(
                number=number,
                times=pattern.times,
                length=pattern.stock_length,
                pieces=stops(crosscut, pattern),
                longest=longest,
                width_mm=book.page.sheet.room[0],
            )
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


def add_smalls(book: Book, plan: Plan) -> None:
    """Trims, shadow strips and spacers, what each is cut from, and what is worth keeping."""
    rows = []
    for used in plan.reuse.used:
        bar = used.bar
        source = {"rest": _("rest of ripping"), "strip": _("strip left whole"), "offcut": _("offcut")}
        came = f"{source[bar.came_from]} {figure(bar.width)} × {figure(bar.depth)} × {figure(bar.length)}"
        for small in used.smalls:
            rows.append((small.name, figure(small.width), figure(small.depth), figure(small.length), came))
    for small in plan.reuse.to_buy:
        rows.append((small.name, figure(small.width), figure(small.depth), figure(small.length), _("to buy")))
    if rows:
        book.heading(_("Small strips"), keep=20)
        book.table(
            [
                Column(head=_("Strip"), share=3),
                Column(head=_("Width, mm"), share=2, end=True),
                Column(head=_("Depth, mm"), share=2, end=True),
                Column(head=_("Length, mm"), share=2, end=True),
                Column(head=_("From, mm"), share=6),
            ],
            rows,
        )
    if plan.reuse.kept:
        book.heading(_("Worth keeping"), keep=30)
        book.side_by_side(
            [Column(head=_("Size, mm"), share=4), Column(head=_("Count"), share=1, end=True)],
            [
                (f"{figure(bar.width)} × {figure(bar.depth)} × {figure(bar.length)}", str(count))
                for bar, count in plan.reuse.kept
            ],
        )
    for sentence in plan.warnings:
        book.text(sentence[:1].upper() + sentence[1:] + ".", lead="–", lead_width=4)
