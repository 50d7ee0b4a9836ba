"""A document of sheets: content flows down a sheet and on to the next; each sheet carries its title block."""

from collections.abc import Sequence
from xml.etree import ElementTree

from viewer.sheets.canvas import SMALL, TEXT, Stroke
from viewer.sheets.tables import LEADING, Column, Tabled

__all__ = ["Book", "Column"]

HEADING = 4.4


class Book(Tabled):
    """Headings, paragraphs, cautions, tables and drawings, one below the other."""

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


def _box(x: float, y: float, width: float, height: float, line: float = 0.25) -> Stroke:
    return lambda ink: ink.box(x, y, width, height, line=line)


def _filled(x: float, y: float, width: float, height: float, grey: int) -> Stroke:
    return lambda ink: ink.filled(x, y, width, height, grey)
