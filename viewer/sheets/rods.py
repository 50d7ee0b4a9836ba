"""The rod: a list of marks for a lath, and each panel at true size."""

from collections.abc import Sequence
from gettext import gettext as _
from math import ceil

from meshes.layout.placed import SetOut
from meshes.layout.rod import Mark, wall_rod
from viewer.drawings.figures import figure
from viewer.drawings.marks import opening_word
from viewer.drawings.rod import rod
from viewer.drawings.true_rod import HEIGHT, SIDE, true_rod
from viewer.sheets.book import Book, Column
from viewer.sheets.canvas import TEXT
from viewer.sheets.matter import Matter
from viewer.sheets.panel_sheets import datum_word, fraction_bar
from viewer.sheets.paper import FOOT, Sheet, upright
from viewer.sheets.tables import LEADING

SMALLER = 2.9
"""Font size of the tables on panel sheets, and of marks where the usual size takes a page more [mm]."""
LONGEST_PAGE_MM = 5000.0
"""ISO 32000-1, annex C: a page of 14,400 units is 5,080 mm."""


def add_rods(book: Book, matter: Matter) -> None:
    """The mark list of every wall."""
    for wall, one in enumerate(matter.set_outs):
        sheet = upright(matter.paper)
        book.begin(sheet, matter.wall_title(wall, _("Rod: marks for a lath")))
        book.text(
            _(
                "Hook the tape at the %(datum)s end of the wall and leave it there. Every number counts from "
                "that one datum, never from the mark before. Bold: every fifth slat, panel edges, ends. Mark "
                "the near edge of each slat; the cross goes on the far side of the line."
            )
            % {"datum": datum_word(one.datum)}
        )
        book.text(
            _(
                "Never tape small sheets of paper into a run: every joint adds its own error. A panel at "
                "true size is in rod-full-size.pdf, the whole run for a plotter in the DXF."
            ),
            bold=True,
        )
        book.drawing(rod(one, width_mm=sheet.room[0]))
        marks = wall_rod(one).marks
        book.side_by_side(
            [
                Column(head=_("Done"), share=1.6),
                Column(head=_("Mark"), share=5.6),
                Column(head=_("mm"), share=2.2, end=True),
                Column(head=_("inches"), share=2.8, end=True),
            ],
            [("", mark_words(one, mark), figure(mark.at), fraction_bar(mark.inches)) for mark in marks],
            bold_rows=frozenset(number for number, mark in enumerate(marks) if mark.bold),
            size=_size(sheet, sheet.bottom - book.y, len(marks)),
        )


def _size(sheet: Sheet, room: float, rows: int) -> float:
    """Smaller type [mm] where that saves a page: a few marks alone on the next are overlooked at the wall."""

    def pages(size: float) -> int:
        row, head = size * LEADING + 0.9, 3 * size * LEADING
        first, following = (2 * max(1, int((high - head) / row)) for high in (room, sheet.room[1] - 12))
        return 1 + ceil(max(0, rows - first) / following)

    return SMALLER if pages(SMALLER) < pages(TEXT) else TEXT


def mark_words(one: SetOut, mark: Mark) -> str:
    """What a mark of the rod is, in words, counted from 1."""
    if mark.kind == "slat":
        loose = _(", loose") if one.slats[mark.index].loose else ""
        return _("slat %(number)d%(loose)s") % {"number": mark.index + 1, "loose": loose}
    if mark.kind == "panel":
        return _("edge of panel %(number)d") % {"number": mark.index + 1}
    if mark.kind == "opening":
        kind = one.openings[mark.index].kind
        return _("%(kind)s, edge") % {"kind": opening_word(kind).lower()}
    return _("start of the run") if mark.kind == "start" else _("end of the run")


def too_long(matter: Matter) -> Sequence[str]:
    """Panels that no page can hold at true size, by name."""
    return [
        matter.panel_name(wall, panel.index)
        for wall, one in enumerate(matter.set_outs)
        for panel in one.panels
        if _length(one, panel.index) + 2 * SIDE > LONGEST_PAGE_MM
    ]


def true_size(matter: Matter) -> Book:
    """A document with one page a panel, as long as the panel."""
    book = Book(matter.stamp, title=_("Rods at true size"))
    for wall, one in enumerate(matter.set_outs):
        for panel in one.panels:
            length = _length(one, panel.index) + 2 * SIDE
            if length > LONGEST_PAGE_MM:
                continue
            words = _("%(width).0f × %(height).0f mm") % {"width": length, "height": HEIGHT + FOOT + 32}
            sheet = Sheet(name=words, width=length, height=HEIGHT + FOOT + 32, binder="none")
            book.begin(
                sheet,
                _("Rod of %(panel)s at true size") % {"panel": matter.panel_name(wall, panel.index).lower()},
                scale="1 : 1",
            )
            book.drawing(true_rod(one, panel), x=0.0)
    if not book.pages:
        book.begin(upright(matter.paper), _("Rods at true size"))
    for name in too_long(matter):
        book.text(_("%(panel)s is too long for a page: use the DXF.") % {"panel": name})
    return book


def _length(one: SetOut, panel: int) -> float:
    board = one.panels[panel].board
    return float(board.width if one.run == "upright" else board.height)
