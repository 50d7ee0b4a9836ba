"""Pages of a document: strokes kept until the number of pages is known, and the title block on each."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from gettext import gettext as _

from fpdf import FPDF

from viewer.sheets.ink import Ink
from viewer.sheets.paper import FOOT, MARGIN, Sheet, Stamp
from viewer.sheets.screen import ScreenInk
from viewer.sheets.typeface import Family, Typeface

TEXT = 3.3
"""Font size of running text [mm]; about 9.4 points."""
TITLE = 6.2
SMALL = 2.5
UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
"""What a file says of its making where the job has no date: nothing here reads a clock."""

AnyInk = Ink | ScreenInk
Stroke = Callable[[AnyInk], None]


@dataclass
class Page:
    """A sheet with its title, the scale that it is drawn to, and its strokes."""

    sheet: Sheet
    title: str
    scale: str
    strokes: list[Stroke] = field(default_factory=list)


class Canvas:
    """Write from the top; ``y`` is where the next thing goes [mm from the sheet's top]."""

    def __init__(self, stamp: Stamp, *, title: str) -> None:
        self.stamp = stamp
        self.pages: list[Page] = []
        self.y = 0.0
        self._pdf = FPDF(unit="mm")
        self._pdf.set_auto_page_break(False)
        self._pdf.set_margin(0)
        self._pdf.c_margin = 0
        self._pdf.set_title(f"{stamp.job}: {title}")
        self._pdf.set_creator("slatwright")
        self._pdf.set_creation_date(_moment(stamp.revised))
        self.typeface = Typeface(self._pdf)

    @property
    def page(self) -> Page:
        return self.pages[-1]

    def begin(self, sheet: Sheet, title: str, *, scale: str = "") -> None:
        """A new page with its title; an empty ``scale`` says that nothing on it is to scale."""
        self.pages.append(Page(sheet=sheet, title=title, scale=scale or _("not to scale")))
        self.y = sheet.top + TITLE
        self._put(sheet.left, self.y, title, TITLE, bold=True)
        self.y += 4.5

    def go_on(self) -> None:
        """A further page like the present one."""
        title = self.page.title
        following = title if title.endswith(_("(continued)")) else f"{title} {_('(continued)')}"
        self.begin(self.page.sheet, following, scale=self.page.scale)

    def need(self, height: float) -> None:
        """Go on to the next page if ``height`` [mm] does not fit on this one."""
        if self.y + height > self.page.sheet.bottom:
            self.go_on()

    def wrapped(
        self, words: str, width: float, size: float, *, bold: bool = False, family: Family = "sans"
    ) -> list[str]:
        """The words in lines of at most ``width`` [mm]; a word that is longer is broken."""
        lines: list[str] = []
        for paragraph in words.split("\n"):
            line = ""
            for word in paragraph.split(" "):
                longer = f"{line} {word}" if line else word
                if self.typeface.width(longer, size, family=family, bold=bold) <= width:
                    line = longer
                    continue
                if line:
                    lines.append(line)
                line = word
                while self.typeface.width(line, size, family=family, bold=bold) > width and len(line) > 1:
                    fits = next(
                        (
                            count
                            for count in range(len(line) - 1, 1, -1)
                            if self.typeface.width(line[:count], size, family=family, bold=bold) <= width
                        ),
                        1,
                    )
                    lines.append(line[:fits])
                    line = line[fits:]
            lines.append(line)
        return lines

    def put(
        self, x: float, y: float, words: str, size: float = TEXT, *, bold: bool = False, anchor: str = "start"
    ) -> None:
        """Words anywhere on the page [mm]."""
        self._put(x, y, words, size, bold=bold, anchor=anchor)

    def _put(
        self, x: float, y: float, words: str, size: float, *, bold: bool = False, anchor: str = "start"
    ) -> None:
        if words:
            self.page.strokes.append(lambda ink: ink.text(x, y, words, size, bold=bold, anchor=anchor))

    def pdf(self) -> bytes:
        """The document's bytes."""
        ink = Ink(self._pdf, self.typeface)
        for number, page in enumerate(self.pages, start=1):
            self._pdf.add_page(format=(page.sheet.width, page.sheet.height))
            if not page.title.endswith(_("(continued)")):
                self._pdf.start_section(page.title)
            for stroke in page.strokes:
                stroke(ink)
            self._title_block(ink, page, number)
        return bytes(self._pdf.output())

    def screens(self) -> tuple[str, ...]:
        """Each sheet as SVG, for a screen; the same strokes as on paper."""
        sheets = []
        for number, page in enumerate(self.pages, start=1):
            ink = ScreenInk(self.typeface)
            for stroke in page.strokes:
                stroke(ink)
            self._title_block(ink, page, number)
            sheets.append(ink.sheet(page.sheet.width, page.sheet.height, page.title))
        return tuple(sheets)

    def _title_block(self, ink: AnyInk, page: Page, number: int) -> None:
        sheet = page.sheet
        top = sheet.height - FOOT - MARGIN + 5
        ink.line(sheet.left, top, sheet.right, top, 0.5)
        first, second = top + 4.0, top + 7.8
        right = _("page %(page)d of %(pages)d") % {"page": number, "pages": len(self.pages)}
        ink.text(sheet.right, first, right, TEXT, bold=True, anchor="end")
        scale = _("scale: %(scale)s") % {"scale": page.scale}
        ink.text(sheet.right, second, f"{sheet.name} · {scale}", SMALL * 1.1, anchor="end")
        room = sheet.right - sheet.left - 30
        name = self.wrapped(self.stamp.job, room, TEXT, bold=True)
        ink.text(sheet.left, first, name[0] + ("…" if name[1:] else ""), TEXT, bold=True)
        words = f"slatwright · {self.stamp.words}"
        if self.typeface.stands_in:
            words += " · " + _("set in Helvetica: the typeface is not installed")
        ink.text(sheet.left, second, words, SMALL * 1.1)


def _moment(revised: str) -> datetime:
    """The date of the job as a moment; one that no calendar has is no date."""
    try:
        day = date.fromisoformat(revised)
    except ValueError:
        return UNDATED
    return datetime(day.year, day.month, day.day, tzinfo=UTC)
