"""The roll of cloth with its drops, as it is cut: lengths counted from the roll's end, pieces across it."""

from fractions import Fraction
from gettext import gettext as _

from finishes.fabric_cut import FabricPlan
from viewer.drawings import pen as p
from viewer.drawings.dimension import Stop, running_along
from viewer.drawings.hatching import hatch
from viewer.drawings.labels import on_patch

HIGHEST = 60.0


def backing_drawing(plan: FabricPlan, *, width_mm: float = 170) -> str:
    """SVG of the roll laid out, its end at the left. Pieces carry the numbers of the list beside it."""
    left, right, top = 4.0, 4.0, 7.0
    length = max(drop.start_mm + drop.length_mm for drop in plan.drops)
    scale = min((width_mm - left - right) / length, HIGHEST / plan.usable_width_mm)
    height = plan.usable_width_mm * scale
    pen = p.Pen(
        width=width_mm,
        height=top + height + 19,
        title=_("Backing cutting diagram"),
        description=_("{metres} m of {fabric}").format(metres=f"{plan.metres:g}", fabric=plan.fabric),
    )
    words = _("{fabric}: usable width {width} mm, {metres} m").format(
        fabric=plan.fabric, width=f"{plan.usable_width_mm:g}", metres=f"{plan.metres:g}"
    )
    pen.text(left, top - 2.2, words, bold=True)
    pen.rect(left, top, length * scale, height, p.NARROW)
    number = 0
    for drop in plan.drops:
        x, width = left + drop.start_mm * scale, drop.length_mm * scale
        if drop.spare:
            hatch(pen, x, top, width, height, spacing=2.4, falling=True)
            on_patch(pen, x + width / 2, top + height / 2, _("spare"))
        for piece in drop.pieces:
            number += 1
            y, high = top + piece.left_mm * scale, piece.across_mm * scale
            pen.rect(x, y, piece.along_mm * scale, high, p.WIDE, "#f3f3f3")
            middle = x + piece.along_mm * scale / 2
            if high > p.LETTERING and piece.along_mm * scale > p.words_width(str(number)):
                pen.text(middle, y + high / 2 + p.LETTERING * 0.35, str(number), anchor="middle")
        pen.line(x + width, top - 1, x + width, top + height + 1, p.CHAIN)
    ends = [Fraction(round(drop.start_mm + drop.length_mm)) for drop in plan.drops]
    running_along(
        pen,
        [Stop(at=at, rank=1 if at == ends[-1] else 0) for at in dict.fromkeys(ends)],
        x0=left,
        y=top + height + 4,
        from_y=top + height + 1.2,
        units_per_mm=scale,
    )
    return pen.svg(drawing="backing")


def piece_numbers(plan: FabricPlan) -> list[tuple[int, int, str, float, float]]:
    """(number, drop, board, across, along) of every piece in the order of the diagram [mm]."""
    found: list[tuple[int, int, str, float, float]] = []
    for number, drop in enumerate(plan.drops, start=1):
        for piece in drop.pieces:
            seam = _(", width {number}").format(number=piece.seam) if piece.seam else ""
            found.append((len(found) + 1, number, f"{piece.board}{seam}", piece.across_mm, piece.along_mm))
    return found
