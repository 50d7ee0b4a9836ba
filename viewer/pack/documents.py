"""Every document of the pack by name: what it is called, who reads it, and how it is drawn."""

from collections.abc import Callable
from dataclasses import dataclass
from gettext import gettext as _
from typing import Literal

from viewer.answers.cheaper import cheaper
from viewer.estimate.alternatives import Alternative
from viewer.sheets.boards import add_backing, add_boards
from viewer.sheets.book import Book
from viewer.sheets.finishing import add_finishing
from viewer.sheets.handover import handover
from viewer.sheets.labels import labels
from viewer.sheets.matter import Matter
from viewer.sheets.money import comparison, estimate_sheet, shopping
from viewer.sheets.order import add_order
from viewer.sheets.panel_sheets import add_panels
from viewer.sheets.rods import add_rods, true_size
from viewer.sheets.setting_out import add_setting_out
from viewer.sheets.timber import add_timber

Reader = Literal["workshop", "client", "shop", "maker"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """Sheets that belong together: a name for files and addresses, words for people, how they are made."""

    name: str
    words: str
    reader: Reader
    book: Callable[[Matter], Book]


def _workshop_set(name: str, words: str, add: Callable[[Book, Matter], None]) -> Document:
    def book(matter: Matter) -> Book:
        made = Book(matter.stamp, title=words)
        add(made, matter)
        return made

    return Document(name=name, words=words, reader="workshop", book=book)


WORKSHOP_SETS = (
    ("order-of-work", _("Order of work"), add_order),
    ("setting-out", _("Setting out"), add_setting_out),
    ("rod", _("Rod"), add_rods),
    ("timber", _("Ripping, crosscutting, sorting"), add_timber),
    ("boards", _("Sheet cutting"), add_boards),
    ("panels", _("Panels"), add_panels),
    ("backing", _("Backing"), add_backing),
    ("finishing", _("Finishing and sample board"), add_finishing),
)
"""The workshop's sheets in the order of its work."""

DOCUMENTS = (
    *(_workshop_set(*one) for one in WORKSHOP_SETS),
    Document(name="rod-full-size", words=_("Rods at true size"), reader="workshop", book=true_size),
    Document(name="labels", words=_("Labels for panel backs"), reader="workshop", book=labels),
    Document(
        name="shopping-list",
        words=_("Shopping list"),
        reader="shop",
        book=lambda matter: shopping(matter, cheaper_for(matter)),
    ),
    Document(name="handover", words=_("Handover"), reader="client", book=handover),
    Document(name="estimate", words=_("Estimate"), reader="maker", book=estimate_sheet),
    Document(name="comparison", words=_("Make or buy"), reader="maker", book=comparison),
)
"""All of it in the order in which a page lists it."""


def workshop(matter: Matter) -> Book:
    """One document of all the workshop's sheets."""
    book = Book(matter.stamp, title=_("Workshop"))
    for _name, _words, add in WORKSHOP_SETS:
        add(book, matter)
    return book


def cheaper_for(matter: Matter) -> tuple[Alternative, ...]:
    """What else on the price list would cost less for this job."""
    return cheaper(matter.job, matter.finish, matter.catalogue, matter.prices, matter.needed)
