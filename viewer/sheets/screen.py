"""Sheets on a screen: the strokes that ``viewer.sheets.ink`` draws on paper, as one SVG a sheet.

A sheet's SVG has the sheet's size in millimetres, its lettering as text that can be read out and searched,
and the drawings as they are. Attributes only: no style element, no script, nothing from elsewhere.
"""

import base64
import re
from html import escape
from xml.etree import ElementTree

from viewer.drawings.pen import INK
from viewer.sheets.typeface import Family, Typeface

FAMILIES: dict[Family, str] = {
    "sans": "IBM Plex Sans, Arial, Liberation Sans, sans-serif",
    "condensed": "IBM Plex Sans Condensed, Arial Narrow, Liberation Sans Narrow, sans-serif",
}
SIZED = re.compile(r' width="[\d.]+mm" height="[\d.]+mm"')
ROLE = re.compile(r' role="img"')


class ScreenInk:
    """Collects one sheet; ``Ink`` is the same pen on paper. All lengths in mm from the upper left corner."""

    def __init__(self, typeface: Typeface) -> None:
        self.typeface = typeface
        self._parts: list[str] = []

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float,
        *,
        family: Family = "sans",
        bold: bool = False,
        anchor: str = "start",
        turned: bool = False,
    ) -> None:
        """Words on a baseline from, to or about (x, y); turned words read from the right."""
        start = self.typeface.start(x, words, size, anchor, family=family, bold=bold)
        runs = list(self.typeface.runs(words, size, family=family, bold=bold))
        held = "".join(
            f'<tspan x="{_n(start + run.shift)}" y="{_n(y - run.rise)}" font-size="{_n(run.size)}">'
            f"{escape(run.words)}</tspan>"
            for run in runs
        )
        if len(runs) == 1:
            held = escape(runs[0].words)
        weight = ' font-weight="600"' if bold else ""
        face = f' font-family="{FAMILIES[family]}"' if family != "sans" else ""
        turn = f' transform="rotate(-90 {_n(x)} {_n(y)})"' if turned else ""
        self._parts.append(
            f'<text x="{_n(start)}" y="{_n(y)}" font-size="{_n(size)}"{weight}{face}{turn}>{held}</text>'
        )

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = 0.18, grey: int = 0) -> None:
        self._parts.append(
            f'<line x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}" stroke="{_grey(grey)}"'
            f' stroke-width="{width:g}"/>'
        )

    def box(self, x: float, y: float, width: float, height: float, *, line: float = 0.18) -> None:
        self._rect(x, y, width, height, f'fill="none" stroke="{INK}" stroke-width="{line:g}"')

    def filled(self, x: float, y: float, width: float, height: float, grey: int) -> None:
        self._rect(x, y, width, height, f'fill="{_grey(grey)}"')

    def _rect(self, x: float, y: float, width: float, height: float, look: str) -> None:
        self._parts.append(
            f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}" {look}/>'
        )

    def image(self, data: bytes, x: float, y: float, width: float, height: float) -> None:
        """A JPEG or PNG."""
        kind = "jpeg" if data.startswith(b"\xff\xd8") else "png"
        address = f"data:image/{kind};base64,{base64.b64encode(data).decode()}"
        self._parts.append(
            f'<image x="{_n(x)}" y="{_n(y)}" width="{_n(width)}" height="{_n(height)}" href="{address}"/>'
        )

    def svg(self, text: str, x: float, y: float) -> None:
        """The drawing with its upper left corner at (x, y)."""
        root = ElementTree.fromstring(text)
        width, height = (root.get(side, "0").removesuffix("mm") for side in ("width", "height"))
        placed = SIZED.sub(f' x="{_n(x)}" y="{_n(y)}" width="{width}" height="{height}"', text, count=1)
        self._parts.append(ROLE.sub("", placed, count=1))

    def sheet(self, width: float, height: float, title: str) -> str:
        """The sheet so far as SVG text."""
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(width)} {_n(height)}" role="group"'
            f' width="{_n(width)}mm" height="{_n(height)}mm" fill="{INK}" font-family="{FAMILIES["sans"]}"'
            f' aria-label="{escape(title)}">' + "".join(self._parts) + "</svg>"
        )


def _grey(value: int) -> str:
    """The pen's ink stands for black, as the pages print it."""
    return f"#{value:02x}{value:02x}{value:02x}" if value else INK


def _n(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".") or "0"
