"""A blank survey sheet: one page a wall, a sketch to write into and boxes in the order of measuring."""

from collections.abc import Sequence
from gettext import gettext as _

from viewer.sheets.book import Book
from viewer.sheets.canvas import SMALL, TEXT
from viewer.sheets.paper import PaperName, Stamp, upright

BOX_HEIGHT = 7.6
ROW = 12.2
GAP = 3.0
BELOW_SKETCH = 180.0
"""What stands below the empty elevation [mm]; it takes what is left of the sheet."""
OPENINGS, ZONES = 6, 2
"""Lines to write openings and zones in."""


def survey_sheet(*, walls: int, paper: PaperName, stamp: Stamp) -> bytes:
    """PDF with a page for each of ``walls`` walls."""
    book = Book(stamp, title=_("Survey sheet"))
    for number in range(1, walls + 1):
        heading = _("Survey") if walls == 1 else _("Survey, wall {number}").format(number=number)
        book.begin(upright(paper), heading)
        _boxes(book, [(_("Measured on"), 2), (_("by"), 3), (_("where"), 5)])
        _sketch(book)
        one_is_enough = _("one is enough")
        _line(
            book, _("1  Width"), one_is_enough, (_("at the floor"), _("in the middle"), _("at the ceiling"))
        )
        _line(book, _("2  Height"), one_is_enough, (_("at the left"), _("in the middle"), _("at the right")))
        _rows(book, _("3  Openings"), OPENINGS)
        _rows(book, _("4  Zones"), ZONES)
        end = (_("meets"), _("leans in at the top"), _("shadow gap"), _("trim"))
        _line(book, _("5  Left end"), "", end)
        _line(book, _("6  Floor"), "", (_("higher at the right"), _("skirting, height"), _("stands out")))
        _line(book, _("7  Right end"), "", end)
        _line(book, _("8  Ceiling"), "", (_("higher at the right"), _("cornice, height"), _("stands out")))
        _line(book, _("9  The wall"), "", (_("built of"), _("middles of studs from the left end")), (1, 3))
        _flatness(book)
    return book.pdf()


def _boxes(book: Book, boxes: Sequence[tuple[str, float]], left: float | None = None) -> None:
    """Boxes to write in, in one row, each under its words; (words, share of the width)."""
    sheet = book.page.sheet
    x = sheet.left if left is None else left
    room = sheet.right - x - GAP * (len(boxes) - 1)
    whole = sum(share for _words, share in boxes)
    for words, share in boxes:
        width = room * share / whole
        book.put(x, book.y + SMALL, words, SMALL)
        _frame(book, x, book.y + SMALL + 0.9, width, BOX_HEIGHT)
        x += width + GAP
    book.y += ROW


def _frame(book: Book, x: float, y: float, width: float, height: float, line: float = 0.25) -> None:
    book.page.strokes.append(lambda ink: ink.box(x, y, width, height, line=line))


def _line(book: Book, heading: str, remark: str, words: Sequence[str], shares: Sequence[float] = ()) -> None:
    left, y = book.page.sheet.left, book.y
    book.put(left, y + SMALL + BOX_HEIGHT * 0.62, heading, TEXT, bold=True)
    if remark:
        book.put(left, y + SMALL + BOX_HEIGHT * 0.62 + 3.4, remark, SMALL)
    shares = shares or [1] * len(words)
    _boxes(book, list(zip(words, shares, strict=True)), left + 34)


def _rows(book: Book, heading: str, count: int) -> None:
    sheet, columns = (
        book.page.sheet,
        (_("what"), _("from the left"), _("from the floor"), _("width"), _("height")),
    )
    left, room = sheet.left + 34, sheet.right - sheet.left - 34
    book.put(sheet.left, book.y + SMALL + BOX_HEIGHT * 0.62, heading, TEXT, bold=True)
    for number, words in enumerate(columns):
        book.put(left + room * number / len(columns), book.y + SMALL, words, SMALL)
    top = book.y + SMALL + 0.9
    for row in range(count):
        for column in range(len(columns)):
            _frame(book, left + room * column / len(columns), top + row * 6.4, room / len(columns), 6.4)
    book.y = top + count * 6.4 + 2.2


def _sketch(book: Book) -> None:
    """The empty elevation: floor and ceiling line, two ends, and where to measure from."""
    sheet, top = book.page.sheet, book.y + 2
    left, right = sheet.left + 12, sheet.right - 12
    floor = sheet.bottom - BELOW_SKETCH
    _frame(book, left, top, right - left, floor - top, 0.35)
    book.page.strokes.append(lambda ink: ink.line(left - 8, floor, right + 8, floor, 0.7))
    book.put(left - 2, floor + 4, _("0: measure from here"), SMALL, anchor="start")
    book.put(right, floor + 4, _("draw openings, zones, cables and pipes into it"), SMALL, anchor="end")
    book.y = floor + 7


def _flatness(book: Book) -> None:
    left, y = book.page.sheet.left, book.y
    book.put(left, y + SMALL + BOX_HEIGHT * 0.62, _("10  Flatness"), TEXT, bold=True)
    book.put(left, y + SMALL + BOX_HEIGHT * 0.62 + 3.4, _("from a plumb line"), SMALL)
    sheet = book.page.sheet
    room = sheet.right - left - 34
    for row in range(3):
        for column in range(3):
            _frame(book, left + 34 + room * column / 3, y + SMALL + 0.9 + row * 6.4, room / 3, 6.4)
    for column, words in enumerate((_("left; rows: top, middle, bottom"), _("middle"), _("right"))):
        book.put(left + 34 + room * column / 3, y + SMALL, words, SMALL)
    book.y = y + SMALL + 0.9 + 3 * 6.4
