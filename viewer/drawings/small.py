"""A wall as a small picture: slats and gaps in the colours of the finish, without light, figure or words."""

from collections.abc import Sequence
from gettext import gettext as _

from meshes.layout.placed import Rect, SetOut
from viewer.drawings import pen as p

MARGIN = 1.0
PLATE = "#fcfcfc"
SKIRTING = "#dedede"


def small_wall(
    set_outs: Sequence[SetOut], *, slat: str, backing: str, width_mm: float = 80, height_mm: float = 50
) -> str:
    """SVG of the walls side by side, as unfolded; ``slat`` and ``backing`` are sRGB as ``#rrggbb``."""
    whole = sum(float(one.wall_width) for one in set_outs)
    tallest = max(float(one.wall_height) for one in set_outs)
    scale = min((width_mm - 2 * MARGIN) / whole, (height_mm - 2 * MARGIN) / tallest)
    pen = p.Pen(width=width_mm, height=height_mm, title=_("Small picture"), description="")
    floor = (height_mm + tallest * scale) / 2
    left = (width_mm - whole * scale) / 2
    for one in set_outs:
        _wall(pen, one, left, floor, scale, slat, backing)
        left += float(one.wall_width) * scale
    return pen.svg(drawing="small")


def _wall(pen: p.Pen, one: SetOut, left: float, floor: float, scale: float, slat: str, backing: str) -> None:
    def box(rect: Rect) -> tuple[float, float, float, float]:
        x, y = left + float(rect.left) * scale, floor - float(rect.top) * scale
        return x, y, float(rect.width) * scale, float(rect.height) * scale

    wide, high = float(one.wall_width) * scale, float(one.wall_height) * scale
    pen.rect(left, floor - high, wide, high, p.NONE, p.PAPER)
    if one.skirting is not None:
        pen.rect(*box(one.skirting), p.NARROW, SKIRTING)
    pen.rect(*box(one.face), p.NONE, backing)
    pieces = (box(piece) for each in one.slats for piece in each.pieces)
    pen.path("".join(f"M{x:.2f} {y:.2f}h{w:.2f}v{h:.2f}h{-w:.2f}z" for x, y, w, h in pieces), p.NONE, slat)
    for plate in one.plates:
        pen.rect(*box(plate.rect), p.NARROW, PLATE)
    pen.rect(left, floor - high, wide, high, p.NARROW)
