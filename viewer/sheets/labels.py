"""Labels for the backs of panels: what it is in words, and a code that opens its page or says the same."""

from collections.abc import Iterator
from gettext import gettext as _

import segno

from meshes.layout.placed import Panel
from viewer.drawings.figures import figure
from viewer.sheets.book import Book
from viewer.sheets.canvas import AnyInk
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright
from viewer.sheets.qr import dark_runs

COLUMNS, ROWS = 2, 5
CODE = 34.0
"""Side of a code with its quiet zone [mm]."""
QUIET = 4
"""Light modules round a code (ISO/IEC 18004)."""


def labels(matter: Matter) -> Book:
    """Labels to cut apart, ten a page, in the order of the panels."""
    book = Book(matter.stamp, title=_("Panel labels"))
    sheet = upright(matter.paper)
    width = sheet.room[0] / COLUMNS
    height = (sheet.room[1] - 14) / ROWS
    place = 0
    for wall, one in enumerate(matter.set_outs):
        for panel in one.panels:
            if place % (COLUMNS * ROWS) == 0:
                book.begin(sheet, _("Labels for panel backs"))
            at = place % (COLUMNS * ROWS)
            x = sheet.left + at % COLUMNS * width
            y = book.y + at // COLUMNS * height
            _label(book, matter, wall, panel, (x, y, width, height))
            place += 1
    if not book.pages:
        book.begin(sheet, _("Labels for panel backs"))
        book.text(_("This job has no panels."))
    return book


def identity(matter: Matter, wall: int, panel: Panel) -> str:
    """What a label's code says: the address of the panel's page, where the job's pages have one.

    Without an address the words of the label stand in the code: job, version, wall, panel, board.
    """
    if matter.address:
        return f"{matter.address}/panels/{wall + 1}-{panel.index + 1}"
    return "\n".join(
        (
            f"slatwright {matter.stamp.job_format}",
            f"job: {matter.stamp.job}",
            f"version: {matter.stamp.version}",
            f"wall: {wall + 1}",
            f"panel: {panel.index + 1}",
            f"board_mm: {figure(panel.board.width)} x {figure(panel.board.height)}",
        )
    )


def _label(
    book: Book, matter: Matter, wall: int, panel: Panel, place: tuple[float, float, float, float]
) -> None:
    x, y, width, height = place
    bars = list(modules(identity(matter, wall, panel)))
    book.page.strokes.append(lambda ink: _frame(ink, bars, x, y, width, height))
    left, room = x + CODE + 5, width - CODE - 8
    lines = [
        (matter.panel_name(wall, panel.index), 5.2, True),
        (matter.stamp.job, 3.0, False),
        (
            _("version %(version)s · %(date)s")
            % {"version": matter.stamp.version, "date": matter.stamp.revised or _("not dated")},
            2.6,
            False,
        ),
        (
            _("board %(size)s mm") % {"size": f"{figure(panel.board.width)} × {figure(panel.board.height)}"},
            3.0,
            False,
        ),
        (
            _("slats %(first)d to %(last)d, about %(kg).0f kg")
            % {
                "first": min(panel.slats, default=-1) + 1,
                "last": max(panel.slats, default=-1) + 1,
                "kg": float(panel.weight_kg),
            },
            3.0,
            False,
        ),
        (_("this way up: arrow to the ceiling"), 2.6, False),
    ]
    baseline = y + 3
    for words, size, bold in lines:
        for line in _two_lines(book, words, room, size, bold=bold):
            baseline += size * 1.32
            book.put(left, baseline, line, size, bold=bold)


def _two_lines(book: Book, words: str, room: float, size: float, *, bold: bool) -> list[str]:
    """At most two lines; what is left out is an ellipsis."""
    wrapped = book.wrapped(words, room, size, bold=bold)
    if len(wrapped) <= 2:
        return wrapped
    last = wrapped[1]
    while last and book.typeface.width(f"{last} …", size, bold=bold) > room:
        last = last[:-1].rstrip()
    return [wrapped[0], f"{last} …"]


def _frame(
    ink: AnyInk,
    bars: list[tuple[float, float, float, float]],
    x: float,
    y: float,
    width: float,
    height: float,
) -> None:
    ink.box(x, y, width, height, line=0.09)
    for left, top, wide, high in bars:
        ink.filled(x + 3 + left, y + 4 + top, wide, high, 0)
    tip = x + 3 + CODE / 2
    foot = y + min(CODE + 13, height - 2)
    ink.line(tip, foot, tip, foot - 6, 0.7)
    ink.line(tip, foot - 6, tip - 2, foot - 3.4, 0.7)
    ink.line(tip, foot - 6, tip + 2, foot - 3.4, 0.7)


def modules(words: str) -> Iterator[tuple[float, float, float, float]]:
    """Dark bars of the code in its square [mm]: x, y, width, height; neighbours in a row as one."""
    rows = [list(row) for row in segno.make(words, error="m", micro=False).matrix]
    side = CODE / (len(rows) + 2 * QUIET)
    for row, start, count in dark_runs(rows):
        yield (QUIET + start) * side, (QUIET + row) * side, count * side, side * 1.02
