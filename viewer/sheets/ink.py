"""A drawing's SVG on paper: the same text that the page shows, line for line, in millimetres.

Reads what ``viewer.drawings.pen`` writes and nothing more: line, rect, circle, path of straight segments, and
text. An element or path command that it does not know is an error, so that no drawing loses a line silently.
"""

import io
import re
from collections.abc import Iterator
from xml.etree import ElementTree

from fpdf import FPDF

from viewer.sheets.typeface import Family, Typeface

SVG = "{http://www.w3.org/2000/svg}"
COMMAND = re.compile(r"([MmLlHhVvZz])|(-?[\d.]+)")
CONDENSED: Family = "condensed"
Point = tuple[float, float]


class UnknownInkError(ValueError):
    """The drawing uses something that this writer does not know."""


class Ink:
    """Draws onto the present page of a document."""

    def __init__(self, pdf: FPDF, typeface: Typeface) -> None:
        self.pdf = pdf
        self.typeface = typeface

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
        """Words on a baseline from, to or about (x, y) [mm]; turned words read from the right."""
        start = self.typeface.start(x, words, size, anchor, family=family, bold=bold)
        if turned:
            with self.pdf.rotation(90, x, y):
                self._runs(start, y, words, size, family, bold)
        else:
            self._runs(start, y, words, size, family, bold)

    def _runs(self, x: float, y: float, words: str, size: float, family: Family, bold: bool) -> None:
        for run in list(self.typeface.runs(words, size, family=family, bold=bold)):
            self.typeface.use(run)
            self.pdf.text(x + run.shift, y - run.rise, run.words)

    def line(self, x1: float, y1: float, x2: float, y2: float, width: float = 0.18, grey: int = 0) -> None:
        self._stroke(width, (), (grey,) * 3)
        self.pdf.line(x1, y1, x2, y2)

    def box(self, x: float, y: float, width: float, height: float, *, line: float = 0.18) -> None:
        self._stroke(line, (), (0, 0, 0))
        self.pdf.rect(x, y, width, height, style="D")

    def filled(self, x: float, y: float, width: float, height: float, grey: int) -> None:
        self.pdf.set_fill_color(grey, grey, grey)
        self.pdf.rect(x, y, width, height, style="F")

    def image(self, data: bytes, x: float, y: float, width: float, height: float) -> None:
        """A JPEG or PNG."""
        self.pdf.image(io.BytesIO(data), x, y, width, height)

    def _stroke(self, width: float, dashes: tuple[float, ...], rgb: tuple[int, ...]) -> None:
        self.pdf.set_draw_color(*rgb)
        self.pdf.set_line_width(width)
        self.pdf.set_dash_pattern()
        if dashes:
            # fpdf knows one dash and one gap; a chain line is drawn stroke by stroke (``_chained``)
            self.pdf.set_dash_pattern(dash=dashes[0], gap=dashes[1])

    def svg(self, text: str, x: float, y: float) -> None:
        """The drawing with its upper left corner at (x, y) [mm]."""
        root = ElementTree.fromstring(text)
        size = float(root.get("font-size", "3.5"))
        self._children(root, x, y, size)
        self.pdf.set_dash_pattern()

    def _children(self, parent: ElementTree.Element, x: float, y: float, size: float) -> None:
        for element in parent:
            kind = element.tag.removeprefix(SVG)
            if kind == "g":
                self._children(element, x, y, size)
            elif kind == "text":
                self._text(element, x, y, size)
            elif kind not in ("title", "desc"):
                self._shape(kind, element, x, y)

    def _text(self, element: ElementTree.Element, x: float, y: float, size: float) -> None:
        self.text(
            x + float(element.get("x", "0")),
            y + float(element.get("y", "0")),
            element.text or "",
            float(element.get("font-size", size)),
            family=CONDENSED,
            bold=element.get("font-weight") == "600",
            anchor=element.get("text-anchor", "start"),
            turned="rotate(-90" in element.get("transform", ""),
        )

    def _shape(self, kind: str, element: ElementTree.Element, x: float, y: float) -> None:
        fill, stroke = element.get("fill", "none"), element.get("stroke")
        style = ("D" if stroke else "") + ("F" if fill != "none" else "")
        if fill != "none":
            self.pdf.set_fill_color(*_rgb(fill))
        dashes = tuple(float(part) for part in element.get("stroke-dasharray", "").split())
        if stroke:
            self._stroke(float(element.get("stroke-width", "0.18")), dashes, _rgb(stroke))

        def at(name: str) -> float:
            return float(element.get(name, "0"))

        if kind == "line":
            self._line((x + at("x1"), y + at("y1")), (x + at("x2"), y + at("y2")), dashes)
        elif kind == "rect" and style:
            self.pdf.rect(x + at("x"), y + at("y"), at("width"), at("height"), style=style)
        elif kind == "circle":
            radius = at("r")
            self.pdf.circle(x + at("cx"), y + at("cy"), radius, style=style)
        elif kind == "path":
            for points, closed in subpaths(element.get("d", "")):
                moved = [(x + px, y + py) for px, py in points]
                if closed:
                    self.pdf.polygon(moved, style=style)
                else:
                    self.pdf.polyline(moved, style="D")
        elif kind != "rect":
            raise UnknownInkError(f"<{kind}> is not drawn on paper")

    def _line(self, start: Point, end: Point, dashes: tuple[float, ...]) -> None:
        if len(dashes) <= 2:
            self.pdf.line(*start, *end)
            return
        self.pdf.set_dash_pattern()
        for low, high in _strokes(start, end, dashes):
            self.pdf.line(*low, *high)


def _strokes(start: Point, end: Point, dashes: tuple[float, ...]) -> Iterator[tuple[Point, Point]]:
    """The strokes of a broken line: long, gap, short, gap."""
    length = ((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) ** 0.5
    at, number = 0.0, 0

    def place(distance: float) -> Point:
        share = min(distance, length) / length
        return start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1])

    while at < length:
        step = dashes[number % len(dashes)]
        if number % 2 == 0:
            yield place(at), place(at + step)
        at += step
        number += 1


def subpaths(data: str) -> Iterator[tuple[list[Point], bool]]:
    """(points, closed) of each piece of a path of straight segments."""
    tokens = COMMAND.findall(data)
    if re.search(r"[^MmLlHhVvZz\d.,\s-]", data):
        raise UnknownInkError(f"a path with curves is not drawn on paper: {data[:40]}")
    points: list[Point] = []
    here: Point = (0.0, 0.0)
    command, at = "M", 0
    while at < len(tokens):
        letter, _number = tokens[at]
        if letter:
            command, at = letter, at + 1
        if command in "Zz":
            yield points, True
            here, points = points[0], []
            command = "L"
            continue
        take = 1 if command in "HhVv" else 2
        values = [float(number) for _letter, number in tokens[at : at + take]]
        at += take
        moved = _moved(command, here, values)
        if command in "Mm":
            if len(points) > 1:
                yield points, False
            points = [moved]
            command = "L" if command == "M" else "l"
        else:
            points = [*points, moved] if points else [here, moved]
        here = moved
    if len(points) > 1:
        yield points, False


def _moved(command: str, here: Point, values: list[float]) -> Point:
    x, y = here if command.islower() else (0.0, 0.0)
    if command in "Hh":
        return x + values[0], here[1]
    if command in "Vv":
        return here[0], y + values[0]
    return x + values[0], y + values[1]


def _rgb(colour: str) -> tuple[int, int, int]:
    """``#rrggbb``; the pen's own ink is printed as black."""
    if colour == "#262626":
        return 0, 0, 0
    number = int(colour.removeprefix("#"), 16)
    return number >> 16, number >> 8 & 255, number & 255
