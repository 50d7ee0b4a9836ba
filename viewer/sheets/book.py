"""A document of sheets: content flows down a sheet and on to the next; each sheet carries its title block.

Content is kept as strokes and drawn at the end, when the number of pages is known.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from gettext import gettext as _
from xml.etree import ElementTree

from fpdf import FPDF

from viewer.sheets.ink import Ink
from viewer.sheets.paper import FOOT, MARGIN, Sheet, Stamp
from viewer.sheets.typeface import Family, Typeface

TEXT = 3.3
"""Font size of running text [mm]; about 9.4 points."""
LEADING = 1.36
HEADING = 4.4
TITLE = 6.2
SMALL = 2.5
CELL = 1.2
"""Room left and right of a table's words [mm]."""
APART = 3.0
"""More room before words that follow a column of figures [mm]."""
UNDATED = datetime(2000, 1, 1, tzinfo=UTC)
"""What a file says of its making where the job has no date: nothing here reads a clock."""

Stroke = Callable[[Ink], None]


@dataclass
class Page:
    """A sheet with its title, the scale that it is drawn to, and its strokes."""

    sheet: Sheet
    title: str
    scale: str
    strokes: list[Stroke] = field(default_factory=list)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """``share`` of the width; ``end``: figures stand at the right."""

    head: str
    share: float
    end: bool = False


class Book:
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

    def space(self, height: float = 3.0) -> None:
        self.y += height

    def heading(self, words: str, *, keep: float = 14.0) -> None:
        """A heading that keeps at least ``keep`` [mm] of what follows with it."""
        self.need(HEADING * 2 + keep)
        self.y += HEADING * 1.35
        self._put(self.page.sheet.left, self.y, words, HEADING, bold=True)
        self.y += HEADING * 0.55

    def text(
        self,
        words: str,
        *,
        bold: bool = False,
        size: float = TEXT,
        lead: str = "",
        lead_width: float = 6.0,
        within: tuple[float, float] | None = None,
    ) -> None:
        """A paragraph; ``lead`` stands before its first line (a number, a dash, a box to tick)."""
        left, right = within or (self.page.sheet.left, self.page.sheet.right)
        indent = lead_width if lead else 0.0
        lines = self.wrapped(words, right - left - indent, size, bold=bold)
        for number, line in enumerate(lines):
            self.need(size * LEADING)
            self.y += size * LEADING
            if lead and number == 0:
                if lead == "box":
                    top = self.y - size * 0.75
                    self.page.strokes.append(_box(left + 0.3, top, size * 0.8, size * 0.8))
                else:
                    self._put(left, self.y, lead, size, bold=True)
            self._put(left + indent, self.y, line, size, bold=bold)
        self.y += size * 0.35

    def caution(self, heading: str, sentences: Sequence[str], source: str) -> None:
        """A framed warning: what can hurt, what to do, and where the rule comes from."""
        sheet, pad = self.page.sheet, 2.2
        width = sheet.right - sheet.left - 2 * pad - 3
        lines = [line for sentence in sentences for line in self.wrapped(sentence, width, TEXT)]
        origin = self.wrapped(source, width, SMALL)
        height = 2 * pad + TEXT * LEADING * (len(lines) + 1) + SMALL * LEADING * len(origin)
        self.need(height + 3)
        self.y += 2
        sheet, top = self.page.sheet, self.y
        self.page.strokes.append(_box(sheet.left, top, sheet.right - sheet.left, height, line=0.5))
        self.page.strokes.append(_filled(sheet.left, top, 2.2, height, 0))
        left, y = sheet.left + pad + 3, top + pad - 0.6
        for words, size, bold in (
            (heading, TEXT, True),
            *((line, TEXT, False) for line in lines),
            *((line, SMALL, False) for line in origin),
        ):
            y += size * LEADING
            self._put(left, y, words, size, bold=bold)
        self.y = top + height + 1.5

    def table(
        self,
        columns: Sequence[Column],
        rows: Sequence[Sequence[str]],
        *,
        bold_rows: frozenset[int] = frozenset(),
        size: float = TEXT,
        within: tuple[float, float] | None = None,
    ) -> None:
        """A table whose head is repeated on every page; words wrap, figures stand under one another."""
        self._head(columns, size, within)
        for number, row in enumerate(rows):
            left, right = within or (self.page.sheet.left, self.page.sheet.right)
            cells = [
                self.wrapped(cell, width, size, bold=number in bold_rows)
                for cell, (_x, width) in zip(row, _spans(columns, left, right), strict=True)
            ]
            height = max(map(len, cells)) * size * LEADING + 0.9
            if self.y + height > self.page.sheet.bottom:
                self.go_on()
                self._head(columns, size, within)
                left, right = within or (self.page.sheet.left, self.page.sheet.right)
            self._row(columns, cells, left, right, size, bold=number in bold_rows)
            self.y += height
            self.page.strokes.append(_rule(left, right, self.y, 0.09, 140))
        self.y += 1.5

    def side_by_side(
        self,
        columns: Sequence[Column],
        rows: Sequence[Sequence[str]],
        *,
        bold_rows: frozenset[int] = frozenset(),
        size: float = TEXT,
        count: int = 2,
    ) -> None:
        """A long table of single lines, ``count`` times beside itself on each page, read down first."""
        gap, step = 6.0, size * LEADING + 0.9
        at = 0
        while at < len(rows):
            if self.y + 6 * step > self.page.sheet.bottom:
                self.go_on()
            sheet, top = self.page.sheet, self.y
            # the head may take two lines, and ``table`` keeps two rows with it
            fits = int((sheet.bottom - top - 2 * size * LEADING - 1.5) / step)
            each = min(fits, -(-(len(rows) - at) // count))
            width = (sheet.right - sheet.left - gap * (count - 1)) / count
            lowest = top
            for number in range(count):
                part = rows[at : at + each]
                if part:
                    self.y, left = top, sheet.left + number * (width + gap)
                    bold = frozenset(row - at for row in bold_rows if at <= row < at + each)
                    self.table(columns, part, bold_rows=bold, size=size, within=(left, left + width))
                    lowest = max(lowest, self.y)
                at += len(part)
            self.y = lowest

    def _head(self, columns: Sequence[Column], size: float, within: tuple[float, float] | None) -> None:
        left, right = within or (self.page.sheet.left, self.page.sheet.right)
        cells = [
            self.wrapped(column.head, width, size, bold=True)
            for column, (_x, width) in zip(columns, _spans(columns, left, right), strict=True)
        ]
        height = max(map(len, cells)) * size * LEADING + 1.0
        if self.y + height + size * LEADING * 2 > self.page.sheet.bottom:
            self.go_on()
            left, right = within or (self.page.sheet.left, self.page.sheet.right)
        self._row(columns, cells, left, right, size, bold=True)
        self.y += height
        self.page.strokes.append(_rule(left, right, self.y, 0.35, 0))

    def _row(
        self,
        columns: Sequence[Column],
        cells: Sequence[Sequence[str]],
        left: float,
        right: float,
        size: float,
        *,
        bold: bool,
    ) -> None:
        for column, lines, (x, width) in zip(columns, cells, _spans(columns, left, right), strict=True):
            for number, line in enumerate(lines):
                y = self.y + size * LEADING * (number + 1) - size * 0.15
                anchor = "end" if column.end else "start"
                self._put(x + (width if column.end else 0), y, line, size, bold=bold, anchor=anchor)

    def drawing(self, svg: str, *, x: float | None = None) -> float:
        """A drawing at its own size, at the left edge or at ``x``; returns its height [mm]."""
        height = float(ElementTree.fromstring(svg).get("height", "0").removesuffix("mm"))
        if x is None:
            self.need(height)
        left, top = self.page.sheet.left if x is None else x, self.y
        self.page.strokes.append(lambda ink: ink.svg(svg, left, top))
        if x is None:
            self.y += height + 2
        return height

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

    def _title_block(self, ink: Ink, page: Page, number: int) -> None:
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


def _spans(columns: Sequence[Column], left: float, right: float) -> list[tuple[float, float]]:
    """(x, width) of the words of every column [mm]."""
    total = sum(column.share for column in columns)
    spans, x, after_figures = [], left, False
    for column in columns:
        width = (right - left) * column.share / total
        before = CELL + (APART if after_figures and not column.end else 0)
        spans.append((x + before, width - before - CELL))
        x, after_figures = x + width, column.end
    return spans


def _box(x: float, y: float, width: float, height: float, line: float = 0.25) -> Stroke:
    return lambda ink: ink.box(x, y, width, height, line=line)


def _filled(x: float, y: float, width: float, height: float, grey: int) -> Stroke:
    return lambda ink: ink.filled(x, y, width, height, grey)


def _rule(left: float, right: float, y: float, width: float, grey: int) -> Stroke:
    return lambda ink: ink.line(left, y, right, y, width, grey)
