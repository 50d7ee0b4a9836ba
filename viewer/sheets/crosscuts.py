"""Crosscut sheets: lengths wanted, cuts with their stops, small strips from what is left."""

from fractions import Fraction
from gettext import gettext as _
from gettext import ngettext

from meshes.cutting.crosscut import Crosscut
from meshes.cutting.plan import Plan
from viewer.drawings.figures import figure
from viewer.drawings.strips import strip_drawing
from viewer.export.cutting_tables import stops
from viewer.sheets.book import Book, Column
from viewer.sheets.lengths import add_from_rests, add_tops, add_wanted
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright

MOST_DRAWN = 12
"""Cuts drawn one by one; more take more paper than they explain."""


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
        add_wanted(book, one, several=len(matter.set_outs) > 1)
        add_from_rests(book, one)
        add_tops(book, one, several=len(matter.set_outs) > 1)
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
