"""A wall as a small picture: slats and gaps in the colours of the finish, without light, figure or words."""

from collections.abc import Sequence
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from viewer.drawings import pen as p
from viewer.drawings.outlines import face_outline, foot_outline, swept_to, wall_outline
from viewer.drawings.place import Place

MARGIN = 1.0
PLATE = "#fcfcfc"
SKIRTING = "#dedede"
APART = 0.6
"""Pitch from which slats are drawn one by one [mm of the picture]: two pixels in the list of jobs."""
EDGE = 0.15
"""Width of the line where panels meet [mm of the picture]."""
LIGHT = 2.2
"""Exponent from encoded sRGB to light, near enough for a mean of two colours (from memory)."""


def small_wall(
    set_outs: Sequence[SetOut], *, slat: str, backing: str, width_mm: float = 80, height_mm: float = 50
) -> str:
    """SVG of the walls side by side, as unfolded; ``slat`` and ``backing`` are sRGB as ``#rrggbb``."""
    whole = sum(float(one.wall_width) for one in set_outs)
    below = max(-float(one.lowest_floor) for one in set_outs)
    tallest = max(float(one.wall_height) for one in set_outs) + below
    scale = min((width_mm - 2 * MARGIN) / whole, (height_mm - 2 * MARGIN) / tallest)
    pen = p.Pen(width=width_mm, height=height_mm, title=_("Small picture"), description="")
    floor = (height_mm + tallest * scale) / 2 - below * scale
    left = (width_mm - whole * scale) / 2
    for one in set_outs:
        _wall(pen, one, left, floor, scale, slat, backing)
        left += float(one.wall_width) * scale
    return pen.svg(drawing="small")


def _wall(pen: p.Pen, one: SetOut, left: float, floor: float, scale: float, slat: str, backing: str) -> None:
    place = Place(left=left, floor=floor, units_per_mm=scale)
    outline = place.path(wall_outline(one), digits=2)
    pen.path(outline, p.NONE, p.PAPER)
    foot = foot_outline(one)
    if one.floor_rise and foot is not None:
        pen.path(place.path(foot, digits=2), p.NARROW, SKIRTING)
    elif one.skirting is not None:
        pen.rect(*place.box(one.skirting), p.NARROW, SKIRTING)
    pen.rect(*place.box(one.face), p.NONE, backing)
    if one.turns == "inside":  # behind what stands on the wall before
        hidden = Rect(left=Fraction(0), bottom=one.face.bottom, width=one.face.left, height=one.face.height)
        pen.rect(*place.box(hidden), p.NONE, backing)
    if swept_to(one) is not None:
        for panel in one.panels:
            pen.rect(*place.box(panel.outline), p.NONE, backing)
    if float(one.pitch) * scale >= APART:
        pen.path(place.slats(one.slats, digits=2), p.NONE, slat)
    else:
        pen.path(place.path(face_outline(one), digits=2), p.NONE, _mixed(slat, backing, one))
        for panel in one.panels[1:]:
            x, y, wide, high = place.box(panel.outline)
            upright = one.run == "upright"
            pen.rect(x, y, EDGE if upright else wide, high if upright else EDGE, p.NONE, backing)
    for plate in one.plates:
        pen.rect(*place.box(plate.rect), p.NARROW, PLATE)
    pen.path(outline, p.NARROW)


def _mixed(slat: str, backing: str, one: SetOut) -> str:
    """Slats and gaps as the eye mixes them from afar: a mean of their light by their shares."""
    share = float(one.slat_width / one.pitch)
    mean = (
        share * int(slat[at : at + 2], 16) ** LIGHT + (1 - share) * int(backing[at : at + 2], 16) ** LIGHT
        for at in (1, 3, 5)
    )
    return "#" + "".join(f"{round(light ** (1 / LIGHT)):02x}" for light in mean)
