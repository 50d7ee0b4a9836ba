"""Tables on sheets: words wrap, figures stand under one another, the head is repeated on every page."""

from collections.abc import Sequence
from dataclasses import dataclass

from viewer.sheets.canvas import TEXT, Canvas, Stroke

LEADING = 1.36
"""Distance of two lines, in font sizes."""
CELL = 1.2
"""Room left and right of a table's words [mm]."""
APART = 3.0
"""More room before words that follow a column of figures [mm]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """``share`` of the width; ``end``: figures stand at the right."""

    head: str
    share: float
    end: bool = False


class Tabled(Canvas):
    """A canvas that sets tables."""

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
            cells = self._cells(columns, row, left, right, size, bold=number in bold_rows)
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
        """A long table, ``count`` times beside itself on each page, read down first."""
        gap, step = 6.0, size * LEADING
        at = 0
        while at < len(rows):
            self.need((min(-(-(len(rows) - at) // count), 6) + 2) * step)
            sheet, top = self.page.sheet, self.y
            # the head may take two lines, and ``table`` keeps two rows with it
            room = sheet.bottom - top - 2 * step - 1.5
            each = -(-(len(rows) - at) // count)
            width = (sheet.right - sheet.left - gap * (count - 1)) / count
            lowest = top
            for number in range(count):
                part, used = rows[at : at + each], 0.0
                for place, row in enumerate(part):
                    used += max(map(len, self._cells(columns, row, 0, width, size))) * step + 0.9
                    if used > room:
                        part = part[:place]
                        break
                if part:
                    self.y, left = top, sheet.left + number * (width + gap)
                    bold = frozenset(row - at for row in bold_rows if at <= row < at + each)
                    self.table(columns, part, bold_rows=bold, size=size, within=(left, left + width))
                    lowest = max(lowest, self.y)
                at += len(part)
            self.y = lowest

    def _cells(
        self,
        columns: Sequence[Column],
        row: Sequence[str],
        left: float,
        right: float,
        size: float,
        *,
        bold: bool = True,
    ) -> list[list[str]]:
        """The lines of each cell of a row."""
        return [
            self.wrapped(cell, width, size, bold=bold)
            for cell, (_x, width) in zip(row, _spans(columns, left, right), strict=True)
        ]

    def _head(self, columns: Sequence[Column], size: float, within: tuple[float, float] | None) -> None:
        left, right = within or (self.page.sheet.left, self.page.sheet.right)
        cells = self._cells(columns, [column.head for column in columns], left, right, size)
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


def _rule(left: float, right: float, y: float, width: float, grey: int) -> Stroke:
    return lambda ink: ink.line(left, y, right, y, width, grey)
