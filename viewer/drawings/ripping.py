"""End view of a sawn section: where the kerfs run, which face each slat shows, what the fence is set to.

::

    +----------------+  rest
    |////////////////|
    |================|  kerf
    | 2    F         |  F: the face that shows, always a saw cut, planed after the rest of some days
    |================|
    | 1    F         |
    +----------------+  the section's own face: the back, with its rounded arrises
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.cutting.rip import Rip, RippedSlat
from meshes.cutting.timber import Timber
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.figures import figure
from viewer.drawings.hatching import hatch

KERF_TONE = "#5e5e5e"
ENLARGED = (2, 1, 0.5, 0.2)
"""Scales of the end view: 2 : 1, 1 : 1, 1 : 2, 1 : 5 (ISO 5455)."""


def ripping_drawing(timber: Timber, *, width_mm: float = 120, height_mm: float = 150) -> str:
    """SVG of the end of one section, row 1 at the bottom; running dimensions are fence settings.

    At most ``width_mm`` wide, and no wider than the section at its scale needs.
    """
    rip = timber.rip
    left, top, bottom, right = 19.0, 4.0, 15.0, 34.0
    across, along = float(rip.across), float(rip.along)
    room = width_mm - left - right, height_mm - top - bottom
    fit = min(room[0] / across, room[1] / along)
    scale = next((one for one in ENLARGED if one <= fit), fit)
    floor = top + along * scale
    pen = p.Pen(
        width=min(width_mm, left + across * scale + right),
        height=floor + bottom,
        title=_("Ripping plan"),
        description=_("{count} slats from a section of {across} × {along} mm").format(
            count=rip.count, across=figure(rip.across), along=figure(rip.along)
        ),
    )
    pen.rect(left, top, across * scale, along * scale, p.NONE, KERF_TONE)
    _rests(pen, rip, left, floor, scale)
    for number, slat in enumerate(sorted(rip.slats, key=lambda one: (one.column, one.row)), start=1):
        _slat(pen, timber, slat, number, left, floor, scale)
    pen.rect(left, top, across * scale, along * scale, p.WIDE)
    columns = _stops(rip.sawn_width, rip.kerf, rip.columns, rip.across)
    rows = _stops(rip.sawn_depth, rip.kerf, rip.rows, rip.along)
    running_along(pen, columns, x0=left, y=floor + 5, from_y=floor + GAP, units_per_mm=scale)
    running_up(pen, rows, y0=floor, x=left - 4, from_x=left - GAP, units_per_mm=scale)
    words = x_words(scale)
    pen.text(left + across * scale + 3, floor - 1, words)
    return pen.svg(drawing="ripping", scale=round(scale, 9))


def x_words(scale: float) -> str:
    """``2 : 1``, ``1 : 5``."""
    return f"{scale:g} : 1" if scale >= 1 else f"1 : {1 / scale:g}"


def _stops(part: Fraction, kerf: Fraction, count: int, whole: Fraction) -> list[Stop]:
    """Each edge that the saw leaves, from the face against the fence on."""
    found = {whole: 2}
    for number in range(count):
        start = number * (part + kerf)
        if start:
            found.setdefault(start, 0)
        found.setdefault(start + part, 1)
    return [Stop(at=at, rank=rank) for at, rank in found.items() if 0 < at <= whole]


def _slat(
    pen: p.Pen, timber: Timber, slat: RippedSlat, number: int, left: float, floor: float, scale: float
) -> None:
    rip, demand = timber.rip, timber.demand
    x = left + float(slat.column * (rip.sawn_width + rip.kerf)) * scale
    low = float(slat.row * (rip.sawn_depth + rip.kerf)) * scale
    width, depth = float(rip.sawn_width) * scale, float(rip.sawn_depth) * scale
    y = floor - low - depth
    back_is_low = not (slat.back == "section" and slat.row > 0)
    with pen.group(mark="slat", index=number):
        pen.rect(x, y, width, depth, p.NARROW, "#ffffff")
        side = float(rip.sawn_width - demand.width) / 2 * scale
        planed = float(rip.sawn_depth - demand.depth) * scale
        inner_y = y + planed if back_is_low else y
        pen.rect(x + side, inner_y, width - 2 * side, depth - planed, p.DASHED)
        face = y if back_is_low else y + depth
        pen.line(x, face, x + width, face, p.EXTRA_WIDE)
        if depth > p.LETTERING and width > 12:
            words = _("{number}  F").format(number=number)
            pen.text(x + width / 2, y + depth / 2 + p.LETTERING * 0.35, words, anchor="middle")


def _rests(pen: p.Pen, rip: Rip, left: float, floor: float, scale: float) -> None:
    """What is left beyond the last kerf, hatched; its size beside it where it is worth naming."""
    taken = rip.columns * (rip.sawn_width + rip.kerf)
    if taken < rip.across:
        x, width = left + float(taken) * scale, float(rip.across - taken) * scale
        _rest(pen, x, floor - float(rip.along) * scale, width, float(rip.along) * scale)
    used = rip.rows * (rip.sawn_depth + rip.kerf)
    if used < rip.along:
        height = float(rip.along - used) * scale
        for column in range(rip.columns):
            x = left + float(column * (rip.sawn_width + rip.kerf)) * scale
            _rest(pen, x, floor - float(rip.along) * scale, float(rip.sawn_width) * scale, height)
    edge = left + float(rip.across) * scale + 3
    for number, rest in enumerate(rip.rests):
        words = _("rest {width} × {depth}").format(width=figure(rest.width), depth=figure(rest.depth))
        pen.text(edge, floor - float(rip.along) * scale + 4 + number * 4.6, words)


def _rest(pen: p.Pen, x: float, y: float, width: float, height: float) -> None:
    pen.rect(x, y, width, height, p.NARROW, "#ffffff")
    hatch(pen, x, y, width, height, spacing=1.6, falling=True)
