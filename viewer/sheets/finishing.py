"""Finishing sheets: what is put on, how much, in which order and waits, and the sample board's recipe."""

from datetime import date, datetime
from gettext import gettext as _
from gettext import ngettext

from finishes.amounts import Product
from finishes.schedule import Schedule, schedule
from finishes.workshop import RAGS, ageing, sample_board_recipe, sign_off_words
from viewer.answers.schedule import coated_once_m2
from viewer.sheets import cautions
from viewer.sheets.book import Book, Column
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright

FIRST_DAY = date(2001, 1, 1)
"""A Monday: the sheet counts days from it and names none, since no document knows when work begins."""

SURFACES = {
    "slat_front": _("fronts"),
    "slat_side": _("sides along the gap"),
    "slat_end": _("ends"),
    "slat_back": _("backs"),
    "trim": _("trims"),
    "fabric": _("board faces"),
    "panel_edge": _("board edges"),
}


def add_finishing(book: Book, matter: Matter) -> None:
    """Products, the schedule of coats and waits, and the sample board."""
    coverage = matter.needed.coverage
    book.begin(upright(matter.paper), _("Finishing schedule"))
    book.text(matter.label, bold=True)
    book.text(sign_off_words(matter.finish, matter.catalogue))
    for name, product in (
        (_("Stain"), coverage.stain),
        (_("Topcoat"), coverage.topcoat),
        (_("Backing paint"), coverage.backing_paint),
    ):
        if product is not None:
            _product(book, name, product)
    for note in coverage.notes:
        book.text(note, lead="–", lead_width=4)
    found = schedule(
        matter.finish,
        matter.catalogue,
        start=FIRST_DAY,
        zone_name="UTC",
        area_m2=coated_once_m2(coverage),
    )
    _schedule(book, found)
    for note in found.notes:
        if note != RAGS:
            book.text(note, lead="–", lead_width=4)
    cautions.add(book, "solvent", *(["rags"] if RAGS in found.notes else []))
    book.begin(upright(matter.paper), _("Sample board"))
    book.text(_("The off-cut is what is agreed, not the picture. Make it from the timber of the wall."))
    for number, words in enumerate(sample_board_recipe(matter.finish, matter.catalogue), start=1):
        book.text(words, lead=f"{number}")
    book.heading(_("What light will do"))
    for words in ageing(matter.finish, matter.catalogue):
        if words:
            book.text(words, lead="–", lead_width=4)
    book.heading(_("Written at the bench"))
    blanks = (
        _("timber, from where"),
        _("tone, batch"),
        _("topcoat, batch"),
        _("wait before wiping"),
        _("date"),
    )
    book.table(
        [
            Column(head=_("What"), share=3),
            Column(head=_("Board 1"), share=3),
            Column(head=_("Board 2"), share=3),
            Column(head=_("Board 3"), share=3),
        ],
        [(words, "", "", "") for words in blanks],
        size=4.6,
    )


def coats(count: int) -> str:
    """``1 coat``, ``2 coats``."""
    return ngettext("%(count)d coat", "%(count)d coats", count) % {"count": count}


def _product(book: Book, name: str, product: Product) -> None:
    book.heading(f"{name}: {product.name}", keep=26)
    tins = ", ".join(f"{part.name} {part.tins.words}" for part in product.parts)
    book.text(
        _(
            "%(coats)s. Likely %(litres).2f l on the wall (%(low).2f to %(high).2f), with samples and "
            "%(touch).2f l kept for touch-up %(buy).2f l: %(tins)s."
        )
        % {
            "coats": coats(product.coats),
            "litres": product.litres.likely,
            "low": product.litres.low,
            "high": product.litres.high,
            "touch": product.touch_up_l,
            "buy": product.to_buy_l.likely,
            "tins": tins,
        }
    )
    if product.advice:
        book.text(product.advice)
    book.table(
        [
            Column(head=_("Where"), share=4),
            Column(head=_("Surface"), share=2.4),
            Column(head=_("Coat"), share=1.4, end=True),
            Column(head="m²", share=2, end=True),
            Column(head=_("m² a litre"), share=2.2, end=True),
            Column(head=_("Litres"), share=2, end=True),
        ],
        [
            (
                SURFACES.get(line.surface, line.surface),
                line.texture,
                str(line.coat),
                f"{line.area_m2:.2f}",
                f"{line.rate_m2_per_l.likely:g}",
                f"{line.litres.likely:.2f}",
            )
            for line in product.lines
        ],
    )


def _schedule(book: Book, found: Schedule) -> None:
    if not found.steps:
        book.text(_("Nothing is put on: slats may go on the cloth at once."))
        return
    book.heading(_("Coats and waits"), keep=30)
    book.text(
        _(
            "Day 1 is the first day of work, here a Monday; nobody works at weekends, drying goes on. Waits "
            "hold for a warm, dry, aired room; the tin ranks above this sheet."
        )
    )
    book.table(
        [
            Column(head=_("Work"), share=5),
            Column(head=_("Begins"), share=2.6),
            Column(head=_("Done"), share=2.6),
            Column(head=_("Wait, h"), share=1.6, end=True),
            Column(head=_("Until"), share=3.4),
        ],
        [
            (step.work, _moment(step.starts), _moment(step.ends), f"{step.wait_h:g}", step.reason)
            for step in found.steps
        ],
    )
    book.text(
        _("Slats may be fixed over the cloth from day %(day)d on.") % {"day": _day(found.fit_on)}, bold=True
    )


def _day(day: date) -> int:
    return (day - FIRST_DAY).days + 1


def _moment(moment: datetime) -> str:
    return _("day %(day)d, %(time)s") % {"day": _day(moment.date()), "time": f"{moment:%H:%M}"}
