"""The drawing pen: ISO 128 lines and ISO 3098 lettering on an SVG sheet, its unit a millimetre of paper.

Only plain elements with presentation attributes are written (no style sheet, pattern, clip or filter), so
that the same text is shown by a browser under a strict content policy and embedded by a PDF writer.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from html import escape

INK = "#262626"
"""L* = 15.2, a* = b* = 0: the ink of page and paper."""
PAPER = "#f3f3f3"
"""L* = 95.8, a* = b* = 0."""
LETTERING = 3.5
"""Font size [mm]: capitals of about 2.5 mm, the second height of ISO 3098-1's series."""
FAMILY = "IBM Plex Sans Condensed, Arial Narrow, Liberation Sans Narrow, sans-serif"
DIGIT_WIDTH = 0.53
"""Advance of a figure in font sizes, slightly generous, for fitting words before they are drawn."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line type: ``width`` [mm] from ISO 128-2's series, ``dashes`` in multiples of the width."""

    width: float
    dashes: tuple[float, ...] = ()

    @property
    def attributes(self) -> str:
        drawn = f'stroke="{INK}" stroke-width="{self.width:g}"'
        if self.dashes:
            drawn += f' stroke-dasharray="{" ".join(f"{part * self.width:.4g}" for part in self.dashes)}"'
        return drawn


# ISO 128-2: widths grow by the square root of two; construction drawings use narrow : wide : extra wide as
# 1 : 2 : 4 (line group 0.35), and the parts of a broken line are 24, 12, 6, 3 and 0.5 widths long.
NARROW = Line(width=0.18)
WIDE = Line(width=0.35)
EXTRA_WIDE = Line(width=0.7)
DASHED = Line(width=0.18, dashes=(12, 3))
CHAIN = Line(width=0.18, dashes=(24, 3, 0.5, 3))
NONE = Line(width=0)


def words_width(words: str, size: float = LETTERING) -> float:
    """Width that ``words`` will take at most, about [mm]."""
    return len(words) * size * DIGIT_WIDTH


class Pen:
    """Collects one drawing. x to the right and y down, both in millimetres of paper."""

    def __init__(self, *, width: float, height: float, title: str, description: str) -> None:
        self.width = width
        self.height = height
        self._title = title
        self._description = description
        self._parts: list[str] = []

    def line(self, x1: float, y1: float, x2: float, y2: float, kind: Line = NARROW) -> None:
        self._parts.append(
            f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}" {kind.attributes}/>'
        )

    def rect(
        self, x: float, y: float, width: float, height: float, kind: Line = NARROW, fill: str = "none"
    ) -> None:
        """From its upper left corner; without an outline where the line has no width."""
        stroke = f" {kind.attributes}" if kind.width else ""
        self._parts.append(
            f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}" fill="{fill}"{stroke}/>'
        )

    def path(self, data: str, kind: Line = NARROW, fill: str = "none") -> None:
        stroke = f" {kind.attributes}" if kind.width else ""
        self._parts.append(f'<path d="{data}" fill="{fill}"{stroke}/>')

    def circle(self, x: float, y: float, radius: float, kind: Line = NARROW, fill: str = "none") -> None:
        self._parts.append(
            f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{fill}" {kind.attributes}/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        anchor: str = "start",
        turned: bool = False,
        bold: bool = False,
    ) -> None:
        """Lettering whose baseline starts at (x, y); ``turned`` reads from the right of the sheet."""
        turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if turned else ""
        weight = ' font-weight="600"' if bold else ""
        self._parts.append(
            f'<text x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}"{weight}{turn}>{escape(words)}</text>'
        )

    @contextmanager
    def group(self, title: str = "", **data: str | int) -> Iterator[None]:
        """A group with ``data-…`` attributes, and a title that is read out and shown on hover."""
        attributes = "".join(
            f' data-{key.replace("_", "-")}="{escape(str(value))}"' for key, value in data.items()
        )
        self._parts.append(f"<g{attributes}>" + (f"<title>{escape(title)}</title>" if title else ""))
        yield
        self._parts.append("</g>")

    def svg(self, **data: str | int | float) -> str:
        """The drawing as SVG text; ``data`` become attributes of the root element."""
        attributes = "".join(
            f' data-{key.replace("_", "-")}="{escape(str(value))}"' for key, value in data.items()
        )
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(self.width)} {_n(self.height)}"'
            f' width="{_n(self.width)}mm" height="{_n(self.height)}mm" role="img" fill="{INK}"'
            f' font-family="{FAMILY}" font-size="{LETTERING:g}"{attributes}>'
            f"<title>{escape(self._title)}</title><desc>{escape(self._description)}</desc>"
            + "".join(self._parts)
            + "</svg>"
        )


def _n(value: float) -> str:
    """A coordinate to a thousandth of a millimetre, without trailing zeros."""
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"
