"""One backing board with its slats and cut-outs, dimensioned from the board's own lower left corner."""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import Panel, Rect, SetOut
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.figures import figure
from viewer.drawings.scale import choose_scale, scale_bar


def panel_drawing(
    set_out: SetOut, panel: Panel, *, width_mm: float = 90, height_mm: float = 200, to_scale: bool = False
) -> str:
    """SVG of one panel as it lies on the bench, slats up."""
    left, right, top, bottom = 17.0, 3.0, 8.0, 24.0
    board = panel.board
    scale = choose_scale(
        float(board.width),
        float(board.height),
        width_mm - left - right,
        height_mm - top - bottom,
        to_scale=to_scale,
    )
    width, height = float(board.width) * scale, float(board.height) * scale
    floor = top + height
    name = _("Panel {number}").format(number=panel.index + 1)
    pen = p.Pen(
        width=width_mm,
        height=floor + bottom,
        title=name,
        description=_("Board {width} × {height} mm with {count} slats and {cutouts} cut-outs.").format(
            width=figure(board.width),
            height=figure(board.height),
            count=len(panel.slats),
            cutouts=len(panel.cutouts),
        ),
    )

    def box(rect: Rect) -> tuple[float, float, float, float]:
        x = left + float(rect.left - board.left) * scale
        y = floor - float(rect.top - board.bottom) * scale
        return x, y, float(rect.width) * scale, float(rect.height) * scale

    pen.rect(left, top, width, height, p.WIDE, "#d0d0d0")
    pieces = [piece for index in panel.slats for piece in set_out.slats[index].pieces]
    data = "".join(f"M{x:.3f} {y:.3f}h{w:.3f}v{h:.3f}h{-w:.3f}z" for x, y, w, h in map(box, pieces))
    pen.path(data, p.NARROW, "#fcfcfc")
    for number, cutout in enumerate(panel.cutouts):
        x, y, w, h = box(cutout)
        with pen.group(_("Cut-out"), mark="cutout", index=number):
            pen.rect(x, y, w, h, p.WIDE, p.PAPER)
            pen.path(f"M{x:.3f} {y:.3f}l{w:.3f} {h:.3f}m0 {-h:.3f}l{-w:.3f} {h:.3f}")
    pen.text(left, top - 2.4, name, bold=True)
    running_along(
        pen, _stops_along(set_out, panel), x0=left, y=floor + 5, from_y=floor + GAP, units_per_mm=scale
    )
    running_up(pen, _stops_up(panel), y0=floor, x=left - 4, from_x=left - GAP, units_per_mm=scale)
    scale_bar(pen, x=left, y=pen.height - 3.2, units_per_mm=scale, to_scale=to_scale)
    return pen.svg(drawing="panel", index=panel.index)


def _stops_along(set_out: SetOut, panel: Panel) -> list[Stop]:
    ranks: dict[Fraction, int] = {panel.board.width: 3}
    for cutout in panel.cutouts:
        ranks.setdefault(cutout.left - panel.board.left, 2)
        ranks.setdefault(cutout.right - panel.board.left, 2)
    if set_out.run == "upright":
        for index in panel.slats:
            ranks.setdefault(set_out.slats[index].extent.left - panel.board.left, 1)
    return [Stop(at=at, rank=rank, bold=rank == 3) for at, rank in ranks.items() if at > 0]


def _stops_up(panel: Panel) -> list[Stop]:
    ranks: dict[Fraction, int] = {panel.board.height: 3}
    for cutout in panel.cutouts:
        ranks.setdefault(cutout.bottom - panel.board.bottom, 2)
        ranks.setdefault(cutout.top - panel.board.bottom, 1)
    return [Stop(at=at, rank=rank) for at, rank in ranks.items() if at > 0]
