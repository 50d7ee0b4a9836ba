"""The client's sheet: what is offered, what may differ, what the client knows, and room for the signatures.

Quantities and cut lists never stand on it. The title block of each page says how the sheet stands to the
record: not signed, signed, or changed since.
"""

from collections.abc import Sequence
from gettext import gettext as _

from viewer.drawings.elevation import elevation
from viewer.sheets.book import Book, Column
from viewer.sheets.canvas import TEXT, AnyInk
from viewer.sheets.paper import lying, upright
from viewer.sheets.qr import dark_runs
from viewer.sheets.setting_out import TITLE_ROOM, scale_words
from viewer.sheets.sign_off_matter import SheetFinish, SignedBy, SignOff

BAND = (44.0, 13.6)
"""Width and height of a finish's band [mm], as its pixels are."""
BESIDE_STILLS = BAND[1] + 9.0
"""What a finish takes on the page besides its stills [mm]."""
OFF_CUT = (62.0, 42.0)
"""Room for the off-cut's label or a photo of it [mm]."""
QR_MM = 17.0


def sign_off(matter: SignOff) -> bytes:
    """The sheet as PDF."""
    book = Book(matter.stamp, title=_("Sign-off"))
    book.begin(upright(matter.paper), _("Sign-off"))
    _offer_words(book, matter)
    # all finishes stand on one page, to be compared
    each = (book.page.sheet.bottom - book.y) / len(matter.finishes) - BESIDE_STILLS
    for finish in matter.finishes:
        _finish(book, finish, each)
    for number, (one, zones) in enumerate(zip(matter.set_outs, matter.zones, strict=True)):
        sheet = lying(matter.paper)
        svg = elevation(
            one, zones=zones, width_mm=sheet.room[0], height_mm=sheet.room[1] - TITLE_ROOM, to_scale=True
        )
        title = _("Elevation") if len(matter.set_outs) == 1 else _("Wall %d: elevation") % (number + 1)
        book.begin(sheet, title, scale=scale_words(svg))
        book.drawing(svg)
    book.begin(upright(matter.paper), _("What is agreed"))
    _agreed(book, matter)
    book.begin(upright(matter.paper), _("What I know, and signatures"))
    _lines(book, matter)
    _off_cut(book, matter)
    _signatures(book, matter)
    _proof(book, matter)
    return book.pdf()


def _offer_words(book: Book, matter: SignOff) -> None:
    words = _("Open until %s.") % matter.expires
    if matter.maker:
        words = _("Offered by %(maker)s, open until %(date)s.") % {
            "maker": matter.maker,
            "date": matter.expires,
        }
    book.text(words)
    if matter.changes:
        book.text(_("Changed since the signature: %s") % "; ".join(matter.changes), bold=True)
    if len(matter.finishes) > 1:
        book.text(_("Tick one finish. The off-cut is what is agreed; pictures show it in the room's light."))


def _finish(book: Book, finish: SheetFinish, height: float) -> None:
    sheet = book.page.sheet
    room = sheet.right - sheet.left
    count = max(1, len(finish.stills))
    width = min((room - 4 * (count - 1)) / count, 92.0, height * 3 / 2)
    height = width * 2 / 3
    book.need(height + BESIDE_STILLS)
    book.space(2)
    sheet, top = book.page.sheet, book.y
    _tick(book, sheet.left, top + 0.6, 4.2, ticked=finish.chosen)
    book.text(finish.name, bold=True, size=4.4, within=(sheet.left + 7, sheet.right - BAND[0] - 4))
    book.text(finish.make, within=(sheet.left + 7, sheet.right - BAND[0] - 4))
    _image(book, finish.band, sheet.right - BAND[0], top, *BAND)
    book.y = max(book.y, top + BAND[1] + 1.5)
    for place, (lighting, still) in enumerate(finish.stills):
        x = sheet.left + place * (width + 4)
        _image(book, still, x, book.y, width, height)
        book.put(x, book.y + height + 3.2, lighting)
    book.y += height + 5


def _agreed(book: Book, matter: SignOff) -> None:
    columns = [
        Column(head=_("Measure"), share=5),
        Column(head=_("Agreed"), share=3, end=True),
        Column(head=_("May differ by"), share=2, end=True),
    ]
    book.side_by_side(columns, matter.facts, size=2.9)
    if matter.price:
        book.heading(_("Price"))
        book.text(matter.price, bold=True)
    if matter.excluded:
        book.heading(_("Not part of it"))
        for sentence in matter.excluded:
            book.text(sentence, lead="–", lead_width=4)


def _lines(book: Book, matter: SignOff) -> None:
    for sentence, ticked in matter.lines:
        book.need(TEXT * 3)
        top, left = book.y, book.page.sheet.left
        _tick(book, left, top + 0.9, 2.9, ticked=ticked)
        book.text(sentence, within=(left + 6, book.page.sheet.right))


def _off_cut(book: Book, matter: SignOff) -> None:
    width, height = OFF_CUT
    book.need(height + 8)
    book.space(3)
    sheet, top = book.page.sheet, book.y
    _frame(book, sheet.left, top, width, height)
    book.put(sheet.left + 2, top + 4, _("Off-cut: stick a piece of it here"), size=2.5)
    x = sheet.left + width + 6
    book.put(x, top + 5, _("Off-cut number"), size=2.5)
    _rule(book, x, top + 14, sheet.right)
    book.put(x + 1, top + 12.5, matter.off_cut, size=4.2, bold=True)
    for place, (words, seen) in enumerate(
        (
            (_("seen by day, in this room"), matter.seen_by_day),
            (_("seen under this room's lamps"), matter.seen_under_lamps),
        )
    ):
        y = top + 20 + place * 7
        _tick(book, x, y, 3.2, ticked=seen)
        book.put(x + 6, y + 2.8, words)
    book.y = top + height + 3


def _signatures(book: Book, matter: SignOff) -> None:
    for signed in matter.signed:
        _signature(book, signed)
    if not matter.signed:
        _signature(book, SignedBy(stage=_("Client"), name="", day=""))
    _signature(book, SignedBy(stage=_("Maker"), name="", day=""))


def _signature(book: Book, signed: SignedBy) -> None:
    book.need(22)
    sheet, top = book.page.sheet, book.y
    third = (sheet.right - sheet.left) / 3
    for place, (head, words) in enumerate(
        ((_("Name, %s") % signed.stage, signed.name), (_("Date"), signed.day), (_("Signature"), ""))
    ):
        x = sheet.left + place * third
        book.put(x + 1, top + 12.5, words, size=3.8)
        _rule(book, x, top + 14, x + third - 4)
        book.put(x, top + 17, head, size=2.5)
    if signed.drawn:
        _image(book, signed.drawn, sheet.left + 2 * third, top + 0.5, 48.0, 12.8)
    book.y = top + 20


def _proof(book: Book, matter: SignOff) -> None:
    """Hash, key and QR, small, at the foot of the last page."""
    if not matter.hash:
        return
    book.need(QR_MM + 3)
    sheet = book.page.sheet
    top = sheet.bottom - QR_MM
    _qr(book, matter.qr, sheet.right - QR_MM, top, QR_MM)
    book.put(sheet.left, top + 8, _("Record entry, SHA-256: %s") % matter.hash, size=2.3)
    book.put(sheet.left, top + 12, _("Key of the record: %s") % matter.fingerprint, size=2.3)
    book.put(
        sheet.left,
        top + 16,
        _("slatwright verify FILE --key KEY says whether a record file is still the one that was signed."),
        size=2.3,
    )


def _rule(book: Book, x: float, y: float, right: float) -> None:
    book.page.strokes.append(lambda ink: ink.line(x, y, right, y, 0.25))


def _frame(book: Book, x: float, y: float, width: float, height: float) -> None:
    book.page.strokes.append(lambda ink: ink.box(x, y, width, height, line=0.35))


def _tick(book: Book, x: float, y: float, side: float, *, ticked: bool) -> None:
    def draw(ink: AnyInk) -> None:
        ink.box(x, y, side, side, line=0.3)
        if ticked:
            ink.line(x, y, x + side, y + side, 0.5)
            ink.line(x, y + side, x + side, y, 0.5)

    book.page.strokes.append(draw)


def _image(book: Book, data: bytes, x: float, y: float, width: float, height: float) -> None:
    def draw(ink: AnyInk) -> None:
        ink.image(data, x, y, width, height)

    book.page.strokes.append(draw)


def _qr(book: Book, matrix: Sequence[Sequence[int]], x: float, y: float, side: float) -> None:
    """A code's modules as rectangles, one a run of dark ones; four light ones round it (ISO 18004)."""
    module = side / (len(matrix) + 8)

    def draw(ink: AnyInk) -> None:
        for row, start, count in dark_runs(matrix):
            ink.filled(x + (start + 4) * module, y + (row + 4) * module, count * module, module, 0)

    book.page.strokes.append(draw)
