"""One sheet with its boards, the cuts in the order of sawing, and the offcuts worth keeping."""

from collections.abc import Sequence
from gettext import gettext as _

from meshes.cutting.sheets import Lying, SawLine, SheetLayout, SheetOrder
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.figures import figure
from viewer.drawings.hatching import hatch
from viewer.drawings.scale import choose_scale, scale_bar

BALLOON = 2.3
"""Radius of the circle round a cut's number [mm of paper]."""
FROM_START = 6.0
"""A cut's number stands that far from where the cut starts, or more [mm of paper]."""
PLACES = (1 / 2, 1 / 4, 3 / 4, 3 / 8, 5 / 8, 1 / 8, 7 / 8)
"""Where words are tried along the longer side of a board or offcut."""
Box = tuple[float, float, float, float]
"""x, y, width, height on the sheet [mm of paper]."""


def sheet_drawing(
    order: SheetOrder,
    layout: SheetLayout,
    names: Sequence[str],
    *,
    title: str,
    width_mm: float = 170,
    height_mm: float = 200,
) -> str:
    """SVG of a sheet to scale; running dimensions from its lower left corner to every saw line."""
    left, right, top, bottom = 17.0, 4.0, 7.0, 24.0
    across, along = order.sheet
    scale = choose_scale(
        float(across),
        float(along),
        width_mm - left - right,
        height_mm - top - bottom,
        to_scale=True,
    )
    floor = top + float(along) * scale
    pen = p.Pen(width=width_mm, height=floor + bottom, title=title, description=title)
    pen.text(left, top - 2.2, title, bold=True)
    pen.rect(left, top, float(across) * scale, float(along) * scale, p.WIDE, "#ffffff")
    for offcut in layout.offcuts:
        x, y, width, height = _box(offcut, left, floor, scale)
        hatch(pen, x, y, width, height, spacing=2.4, falling=True)
    for lying in layout.boards:
        x, y, width, height = _box(lying, left, floor, scale)
        pen.rect(x, y, width, height, p.WIDE, "#ffffff")
    balloons = [_cut(pen, cut, number, left, floor, scale) for number, cut in enumerate(layout.cuts, start=1)]
    for lying in layout.boards:
        lines = [names[lying.board], _size(lying), *([_("turned")] if lying.turned else [])]
        _words(pen, lines, _free(_box(lying, left, floor, scale), lines, balloons))
    for offcut in layout.offcuts:
        if min(offcut.width, offcut.height) * scale > 6 and max(offcut.width, offcut.height) * scale > 22:
            lines = [_size(offcut)]
            _words(pen, lines, _free(_box(offcut, left, floor, scale), lines, balloons))
    for number, (x, y) in enumerate(balloons, start=1):
        pen.circle(x, y, BALLOON, p.NARROW, "#ffffff")
        pen.text(x, y + p.LETTERING * 0.35, str(number), anchor="middle")
    along_stops = {across: 2, **{cut.at: 1 for cut in layout.cuts if cut.upright}}
    up_stops = {along: 2, **{cut.at: 1 for cut in layout.cuts if not cut.upright}}
    running_along(
        pen,
        [Stop(at=at, rank=rank) for at, rank in along_stops.items()],
        x0=left,
        y=floor + 5,
        from_y=floor + GAP,
        units_per_mm=scale,
    )
    running_up(
        pen,
        [Stop(at=at, rank=rank) for at, rank in up_stops.items()],
        y0=floor,
        x=left - 4,
        from_x=left - GAP,
        units_per_mm=scale,
    )
    scale_bar(pen, x=left, y=pen.height - 3.2, units_per_mm=scale, to_scale=True)
    return pen.svg(drawing="sheet", scale=round(scale, 9))


def _box(lying: Lying, left: float, floor: float, scale: float) -> Box:
    width, height = float(lying.width) * scale, float(lying.height) * scale
    return left + float(lying.left) * scale, floor - float(lying.bottom) * scale - height, width, height


def _size(lying: Lying) -> str:
    return f"{figure(lying.width)} × {figure(lying.height)}"


def _free(box: Box, lines: Sequence[str], balloons: Sequence[tuple[float, float]]) -> Box:
    """The part of a box about whose middle no balloon stands in the way of words; all of it if none is."""
    x, y, width, height = box
    longest, tall = _extent(lines)
    for share in PLACES:
        part_share = 2 * min(share, 1 - share)
        start = share - part_share / 2
        if width >= height:
            part = (x + start * width, y, part_share * width, height)
        else:
            part = (x, y + start * height, width, part_share * height)
        wide, high = (tall, longest) if _turned(lines, part) else (longest, tall)
        if wide > part[2] or high > part[3]:
            continue
        middle = part[0] + part[2] / 2, part[1] + part[3] / 2
        reach = wide / 2 + BALLOON, high / 2 + BALLOON
        if all(abs(bx - middle[0]) > reach[0] or abs(by - middle[1]) > reach[1] for bx, by in balloons):
            return part
    return box


def _extent(lines: Sequence[str]) -> tuple[float, float]:
    """Length of the longest line and height of all [mm of paper]."""
    return max(map(p.words_width, lines)), p.LETTERING * 1.25 * len(lines)


def _turned(lines: Sequence[str], box: Box) -> bool:
    """Whether words only fit into a box when they run up it."""
    longest = _extent(lines)[0]
    return box[3] > longest > box[2] - 2


def _words(pen: p.Pen, lines: Sequence[str], box: Box) -> None:
    """Words in the middle of a board on a white ground, turned where only that fits."""
    x, y, width, height = box
    longest, tall = _extent(lines)
    if _turned(lines, box):
        pen.rect(x + width / 2 - tall / 2, y + height / 2 - longest / 2, tall, longest, p.NONE, "#ffffff")
        step = min(p.LETTERING * 1.2, (width - 1) / len(lines))
        first = x + width / 2 - step * (len(lines) - 1) / 2 + p.LETTERING * 0.35
        for number, words in enumerate(lines):
            pen.text(first + number * step, y + height / 2, words, anchor="middle", turned=True)
        return
    pen.rect(x + width / 2 - longest / 2, y + height / 2 - tall / 2, longest, tall, p.NONE, "#ffffff")
    step = p.LETTERING * 1.25
    first = y + height / 2 - step * (len(lines) - 1) / 2 + p.LETTERING * 0.35
    for number, words in enumerate(lines):
        pen.text(x + width / 2, first + number * step, words, anchor="middle")


def _cut(
    pen: p.Pen, cut: SawLine, number: int, left: float, floor: float, scale: float
) -> tuple[float, float]:
    """A saw line over the sheet; returns where its number in the order of sawing stands."""
    at, start, end = (float(value) * scale for value in (cut.at, cut.start, cut.end))
    # near its start, where no words stand; in three distances, so that neighbours stay apart
    along = start + min((end - start) / 2, FROM_START + number % 3 * 5)
    if cut.upright:
        x, y = left + at, floor - along
        pen.line(x, floor - start, x, floor - end, p.CHAIN)
    else:
        x, y = left + along, floor - at
        pen.line(left + start, y, left + end, y, p.CHAIN)
    return x, y
