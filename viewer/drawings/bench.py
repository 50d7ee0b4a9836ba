"""A panel as it lies on the bench: board, cut-outs, slats, loose slats, fixing points and no-drill bands.

::

      1   2   3L  4        slat numbers; L: loose, hatched; goes on last
      __   __   __-- ##     tops that are cut to a ceiling slope, and stand over the board where it rises
    | ## | ## | // | ## |
    | ## | ## | o/ | ## |  o: fixing point under a loose slat
    |====no drilling=====|
    o--/----/----/----/--  near edges of the slats, counted from the board's own corner
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import Panel, Rect, SetOut, Slat
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.hatching import hatch, hatch_outline
from viewer.drawings.outlines import piece_outline
from viewer.drawings.place import Place
from viewer.drawings.scale import RULE_SERIES, choose_scale, scale_bar

GROUND = "#c8c8c8"


def bench_drawing(set_out: SetOut, panel: Panel, *, width_mm: float = 100, height_mm: float = 235) -> str:
    """SVG of one panel to scale, slats up, dimensioned from the board's lower left corner."""
    left, right, top, bottom = 18.0, 6.0, 10.0, 23.0
    board, over = panel.board, _over_board(set_out, panel)
    scale = choose_scale(
        float(board.width),
        float(board.height + over),
        width_mm - left - right,
        height_mm - top - bottom,
        to_scale=True,
        series=RULE_SERIES,
    )
    floor = top + float(board.height + over) * scale
    pen = p.Pen(
        width=width_mm,
        height=floor + bottom,
        title=_("Panel {number} on the bench").format(number=panel.index + 1),
        description=_("{slats} slats, {cutouts} cut-outs, {points} fixing points").format(
            slats=len(panel.slats), cutouts=len(panel.cutouts), points=len(panel.fixings)
        ),
    )

    place = Place(left=left, floor=floor, units_per_mm=scale, origin=(board.left, board.bottom))
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
    _bands(pen, set_out, board, place)
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


def _over_board(set_out: SetOut, panel: Panel) -> Fraction:
    """How far tops that are cut to a sloping ceiling stand over the panel, whose own top is level [mm]."""
    swept = (slat for slat in map(set_out.slats.__getitem__, panel.slats) if any(slat.rise))
    heads = (slat.extent.top + max(slat.rise) for slat in swept)
    return max((head - panel.outline.top for head in heads), default=Fraction(0))


def _slats(pen: p.Pen, set_out: SetOut, panel: Panel, place: Place) -> None:
    for index in panel.slats:
        slat = set_out.slats[index]
        for piece in slat.pieces:
            _piece(pen, slat, piece, place)
        x, y, width, height = place.box(slat.extent)
        words = f"{index + 1}L" if slat.loose else str(index + 1)
        if set_out.run == "upright":
            # loose slats stand a row higher, so that none of them is left without its number
            if slat.loose or p.words_width(words) < width + 1.5 or len(panel.slats) < 8:
                row = (5.2 if slat.loose else 1.4) + float(sum(slat.rise)) / 2 * place.units_per_mm
                pen.text(x + width / 2, y - row, words, anchor="middle", bold=slat.loose)
        elif height > p.LETTERING * 0.8:
            pen.text(x + width + 0.8, y + height / 2 + p.LETTERING * 0.35, words, bold=slat.loose)


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


def _bands(pen: p.Pen, set_out: SetOut, board: Rect, place: Place) -> None:
    """Bands where nothing is drilled, hatched wide apart and named once."""
    named = False
    for band in set_out.bands:
        left, right = max(band.rect.left, board.left), min(band.rect.right, board.right)
        bottom, top = max(band.rect.bottom, board.bottom), min(band.rect.top, board.top)
        if left >= right or bottom >= top:
            continue
        x, y, width, height = place.box(
            Rect(left=left, bottom=bottom, width=right - left, height=top - bottom)
        )
        with pen.group(band.why, band=band.why):
            pen.rect(x, y, width, height, p.DASHED)
            hatch(pen, x, y, width, height, spacing=3.2, falling=True)
        words = _("no drilling")
        if not named and height > 5 and p.words_width(words) < width:
            pen.rect(
                x + width / 2 - p.words_width(words) / 2,
                y + height / 2 - 2.2,
                p.words_width(words),
                4.2,
                p.NONE,
                "#ffffff",
            )
            pen.text(x + width / 2, y + height / 2 + 1.2, words, anchor="middle")
            named = True


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
