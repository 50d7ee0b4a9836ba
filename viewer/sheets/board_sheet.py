"""The board on paper: all pictures on one sheet that lies, what each finish takes, and how they differ."""

import io
from dataclasses import dataclass
from gettext import gettext as _

from PIL import Image

from viewer.sheets.book import Book, Column
from viewer.sheets.canvas import AnyInk
from viewer.sheets.paper import PaperName, Stamp, lying

TABLE_HEAD, ROW = 14.0, 10.0
"""Heights of the table's head and of a row of two lines [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardSheet:
    """``picture`` is a JPEG; a row is name, make, and one cell for each of ``columns``."""

    stamp: Stamp
    paper: PaperName
    picture: bytes
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    differences: tuple[str, ...]


def board_sheet(matter: BoardSheet) -> bytes:
    """The board as PDF."""
    book = Book(matter.stamp, title=_("Board"))
    sheet = lying(matter.paper)
    book.begin(sheet, _("Board"))
    _picture(book, matter.picture, keep=TABLE_HEAD + ROW * len(matter.rows))
    widths = (2.2, 4.5, *(1.3 for _column in matter.columns))
    heads = (_("Finish"), _("Made of"), *matter.columns)
    book.table(
        [
            Column(head=head, share=share, end=place > 1)
            for place, (head, share) in enumerate(zip(heads, widths, strict=True))
        ],
        matter.rows,
    )
    if matter.differences:
        book.heading(_("How they differ"))
        for sentence in matter.differences:
            book.text(sentence, lead="–", lead_width=4)
    return book.pdf()


def _picture(book: Book, data: bytes, *, keep: float) -> None:
    """As wide as the sheet, or as high as ``keep`` [mm] leaves of it, but half of that at least."""
    with Image.open(io.BytesIO(data)) as image:
        shape = image.height / image.width
    room, left, top = book.page.sheet.right - book.page.sheet.left, book.page.sheet.left, book.y
    left_over = book.page.sheet.bottom - top - 3
    height = min(room * shape, max(left_over - keep, left_over / 2))
    width = height / shape

    def draw(ink: AnyInk) -> None:
        ink.image(data, left + (room - width) / 2, top, width, height)

    book.page.strokes.append(draw)
    book.y = top + height + 3
