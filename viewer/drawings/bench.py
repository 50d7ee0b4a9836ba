"""A panel as it lies on the bench: board, cut-outs, slats, loose slats, fixing points and no-drill bands.

::

      1   2   3L  4        slat numbers; L: loose, hatched; goes on last
      __   __   __-- ##     tops that are cut to a ceiling slope, and stand over the board where it rises
    | ## | ## | // | ## |
    | ## | ## | o/ | ## |  o: fixing point under a loose slat
    |====no drilling=====|
    o--/----/----/----/--  near edges of the slats, counted from the board's own corner
"""

from collections.abc import Collection, Sequence
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import Panel, SetOut, Slat
from meshes.layout.rect import Rect
from meshes.layout.rod import panel_rod
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, kept_stops, running_along, running_up
from viewer.drawings.hatching import hatch, hatch_outline
from viewer.drawings.labels import Labels
from viewer.drawings.outlines import band_outlines, piece_outline
from viewer.drawings.place import Place
from viewer.drawings.scale import RULE_SERIES, choose_scale, scale_bar

GROUND = "#c8c8c8"
LEFT, RIGHT, TOP, BOTTOM = 18.0, 6.0, 10.0, 23.0
"""Room round the board for dimensions, numbers and scale bar [mm of paper]."""
LOOSE_ROW, LOOSE_STEP = 5.2, p.LETTERING * 1.05
"""Loose slats have their numbers a row higher than the others, and another where they stand close."""
APART, APART_LOOSE = 0.9, 0.2
"""Between two numbers beside each other, and between two that end with a letter [mm of paper]."""


def bench_drawing(set_out: SetOut, panel: Panel, *, width_mm: float = 100, height_mm: float = 235) -> str:
    """SVG of one panel to scale, slats up, dimensioned from the board's lower left corner."""
    rows, needed = 0, 1
    while rows < needed:
        rows = needed
        place = _place(set_out, panel, width_mm, height_mm, top=TOP + (rows - 1) * LOOSE_STEP)
        needed = len(_rows(_loose(set_out, panel), place)) if set_out.run == "upright" else 1
    board, left, floor, scale = panel.board, place.left, place.floor, place.units_per_mm
    pen = p.Pen(
        width=width_mm,
        height=floor + BOTTOM,
        title=_("Panel {number} on the bench").format(number=panel.index + 1),
        description=_("{slats} slats, {cutouts} cut-outs, {points} fixing points").format(
            slats=len(panel.slats), cutouts=len(panel.cutouts), points=len(panel.fixings)
        ),
    )
    pen.rect(*place.box(board), p.WIDE, GROUND)
    _slats(pen, set_out, panel, place)
    for part in panel.parts[1:]:
        x, y, width, height = place.box(part)
        pen.line(x - 1.5, y + height, x + width + 1.5, y + height, p.CHAIN)
        if set_out.run == "level":
            pen.line(x, y - 1.5, x, y + height + 1.5, p.CHAIN)
    for cut in panel.cutouts:
        x, y, width, height = place.box(cut)
        pen.rect(x, y, width, height, p.WIDE, "#ffffff")
        pen.path(f"M{x:.3f} {y:.3f}l{width:.3f} {height:.3f}m0 {-height:.3f}l{-width:.3f} {height:.3f}")
    _bands(pen, set_out, panel, place)
    for point in panel.fixings:
        x, y = place.x(point.x), place.y(point.y)
        pen.circle(x, y, 1.1, p.WIDE, "#ffffff")
        pen.line(x - 1.8, y, x + 1.8, y, p.NARROW)
        pen.line(x, y - 1.8, x, y + 1.8, p.NARROW)
    across, up = _stops(set_out, panel)
    running_along(pen, across, x0=left, y=floor + 5, from_y=floor + GAP, units_per_mm=scale)
    running_up(pen, up, y0=floor, x=left - 4, from_x=left - GAP, units_per_mm=scale)
    scale_bar(pen, x=left, y=pen.height - 2.6, units_per_mm=scale, to_scale=True)
    return pen.svg(drawing="bench", index=panel.index, scale=round(scale, 9))


def _place(set_out: SetOut, panel: Panel, width_mm: float, height_mm: float, *, top: float) -> Place:
    """The scale of a rule at which board and slats fit, with ``top`` [mm of paper] for the numbers."""
    board, high = panel.board, panel.board.height + _over_board(set_out, panel)
    scale = choose_scale(
        float(board.width),
        float(high),
        width_mm - LEFT - RIGHT,
        height_mm - top - BOTTOM,
        to_scale=True,
        series=RULE_SERIES,
    )
    floor = top + float(high) * scale
    return Place(left=LEFT, floor=floor, units_per_mm=scale, origin=(board.left, board.bottom))


def _loose(set_out: SetOut, panel: Panel) -> list[Slat]:
    return [slat for slat in (set_out.slats[index] for index in panel.slats) if slat.loose]


def _over_board(set_out: SetOut, panel: Panel) -> Fraction:
    """How far tops that are cut to a sloping ceiling stand over the panel, whose own top is level [mm]."""
    swept = (slat for slat in map(set_out.slats.__getitem__, panel.slats) if any(slat.rise))
    heads = (slat.extent.top + max(slat.rise) for slat in swept)
    return max((head - panel.outline.top for head in heads), default=Fraction(0))


def _slats(pen: p.Pen, set_out: SetOut, panel: Panel, place: Place) -> None:
    slats = [set_out.slats[index] for index in panel.slats]
    for slat in slats:
        for piece in slat.pieces:
            _piece(pen, slat, piece, place)
    if set_out.run == "upright":
        first = {mark.index for mark in panel_rod(set_out, panel).marks if mark.kind == "slat" and mark.bold}
        _numbers(pen, [slat for slat in slats if not slat.loose], place, row=1.4, first=first)
        for number, row in enumerate(_rows(_loose(set_out, panel), place)):
            _numbers(pen, row, place, row=LOOSE_ROW + number * LOOSE_STEP)
        return
    for slat in slats:
        x, y, width, height = place.box(slat.extent)
        if height > p.LETTERING * 0.8:
            words = _number(slat)
            pen.text(x + width + 0.8, y + height / 2 + p.LETTERING * 0.35, words, bold=slat.loose)


def _number(slat: Slat) -> str:
    return f"{slat.index + 1}L" if slat.loose else str(slat.index + 1)


def _room(slats: Sequence[Slat]) -> float:
    """From one number to the next, so that none reads as part of its neighbour [mm of paper]."""
    apart = APART_LOOSE if all(slat.loose for slat in slats) else APART
    return max(p.words_width(_number(slat)) for slat in slats) + apart


def _rows(loose: Sequence[Slat], place: Place) -> list[list[Slat]]:
    """Loose slats all have their numbers: one too near to the number before it stands a row higher."""
    rows: list[list[Slat]] = []
    for slat in loose:
        x, room = place.x(_middle(slat)), _room(loose)
        free = next((row for row in rows if x - place.x(_middle(row[-1])) >= room), None)
        if free is None:
            rows.append([slat])
        else:
            free.append(slat)
    return rows


def _numbers(
    pen: p.Pen, slats: Sequence[Slat], place: Place, *, row: float, first: Collection[int] = ()
) -> None:
    """Numbers ``row`` [mm of paper] over their slats; where they do not all fit, those of ``first``."""
    stops = [Stop(at=_middle(slat), rank=int(slat.index in first)) for slat in slats]
    kept = {stop.at for stop in kept_stops(stops, place.units_per_mm, _room(slats))} if slats else set()
    for slat in slats:
        if _middle(slat) in kept:
            up = row + float(sum(slat.rise)) / 2 * place.units_per_mm
            y = place.y(slat.extent.top) - up
            pen.text(place.x(_middle(slat)), y, _number(slat), anchor="middle", bold=slat.loose)


def _middle(slat: Slat) -> Fraction:
    return slat.extent.left + slat.extent.width / 2


def _piece(pen: p.Pen, slat: Slat, piece: Rect, place: Place) -> None:
    if any(slat.rise_of(piece)):
        outline = piece_outline(slat, piece)
        pen.path(place.path(outline), p.NARROW, "#ffffff")
        if slat.loose:
            hatch_outline(pen, place.corners(outline), spacing=2.0)
        return
    box = place.box(piece)
    pen.rect(*box, p.NARROW, "#ffffff")
    if slat.loose:
        hatch(pen, *box, spacing=2.0)


def _bands(pen: p.Pen, set_out: SetOut, panel: Panel, place: Place) -> None:
    """Bands where nothing is drilled, hatched wide apart and named once, beside the cut-outs."""
    board, words = panel.board, _("no drilling")
    labels, middles = Labels(pen), []
    for cut in panel.cutouts:
        x, y, width, height = place.box(cut)
        labels.take(x, y, x + width, y + height)
    for band in set_out.bands:
        outlines = band_outlines(band, board)
        if not outlines:
            continue
        with pen.group(band.why, band=band.why):
            for outline in outlines:
                pen.path(place.path(outline), p.DASHED)
                hatch_outline(pen, place.corners(outline), spacing=3.2, falling=True)
        for outline in outlines:
            across, up = zip(*place.corners(outline), strict=True)
            if max(up) - min(up) > 5 and p.words_width(words) < max(across) - min(across):
                middles.append(((min(across) + max(across)) / 2, (min(up) + max(up)) / 2 + 1.2))
    labels.put(words, middles)


def _stops(set_out: SetOut, panel: Panel) -> tuple[list[Stop], list[Stop]]:
    """Stops along and up the board from its lower left corner, slats' near edges along the run."""
    board = panel.board
    along: dict[Fraction, int] = {board.width: 4}
    up: dict[Fraction, int] = {board.height: 4}
    for cut in panel.cutouts:
        for edge, rank in ((cut.left, 3), (cut.right, 3)):
            along.setdefault(edge - board.left, rank)
        for edge, rank in ((cut.bottom, 3), (cut.top, 3)):
            up.setdefault(edge - board.bottom, rank)
    for point in panel.fixings:
        if set_out.run == "upright":
            up.setdefault(point.y - board.bottom, 2)
        else:
            along.setdefault(point.x - board.left, 2)
    for index in panel.slats:
        extent = set_out.slats[index].extent
        if set_out.run == "upright":
            along.setdefault(extent.left - board.left, 1)
        else:
            up.setdefault(extent.bottom - board.bottom, 1)
    return (
        [Stop(at=at, rank=rank, bold=rank == 4) for at, rank in along.items() if at > 0],
        [Stop(at=at, rank=rank, bold=rank == 4) for at, rank in up.items() if at > 0],
    )
