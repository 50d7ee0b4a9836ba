"""The rod: a strip to scale along the run with slats, joints, openings and their cumulative dimensions.

::

    |##|  |##|  |##| . |##|  |##|      slats, joints as chain lines, openings as brackets above
    o--/-----/-----/--/----/-----      running dimensions from the datum
    0  12          283.9               every fifth slat, joints and ends bold
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.rod import FAR
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, kept_stops, tick
from viewer.drawings.figures import figure
from viewer.drawings.marks import Mark, marks

STRIP_TOP = 5.0
STRIP_HEIGHT = 5.5
TICK_LINE = STRIP_TOP + STRIP_HEIGHT + 2.6
SIDE = 9.0
SLAT = "#fcfcfc"
GROUND = "#8c8c8c"
ARM = 0.9
OUTLINE_FROM = 4 * p.NARROW.width
RANK = {"end": 4, "opening": 3, "joint": 2, "slat": 0}


def rod(set_out: SetOut, *, width_mm: float = 320, fixings: bool = False) -> str:
    """SVG of the rod, ``width_mm`` wide; of values that would touch, openings and joints are kept.

    ``fixings`` adds where the fixing points lie, as a group that a page can show and hide.
    """
    length = set_out.wall_width if set_out.run == "upright" else set_out.wall_height
    scale = (width_mm - 2 * SIDE) / float(length)
    found = marks(set_out)
    pen = p.Pen(
        width=width_mm,
        height=TICK_LINE + 6.2,
        title=_("Rod"),
        description=_("Marks along the run from the datum, {count} slats over {length} mm.").format(
            count=len(set_out.slats), length=figure(length)
        ),
    )
    pen.rect(SIDE, STRIP_TOP, float(length) * scale, STRIP_HEIGHT, p.NARROW)
    start, end = (mark.at for mark in found if mark.kind == "end")
    pen.rect(SIDE + float(start) * scale, STRIP_TOP, float(end - start) * scale, STRIP_HEIGHT, p.NONE, GROUND)
    outlined = float(min(set_out.slat_width, set_out.gap)) * scale >= OUTLINE_FROM
    for mark in found:
        _mark(pen, mark, scale, outlined=outlined)
    if fixings:
        _fixings(pen, set_out, scale)
    _values(pen, found, scale, length, set_out.datum in FAR)
    return pen.svg(drawing="rod", left=SIDE, scale=round(scale, 9), length=figure(length))


def _mark(pen: p.Pen, mark: Mark, scale: float, *, outlined: bool) -> None:
    x = SIDE + float(mark.at) * scale
    width = float(mark.until - mark.at) * scale
    if mark.kind == "slat":
        line = p.NARROW if outlined else p.NONE
        with pen.group(mark.words, mark="slat", index=mark.index):
            pen.rect(x, STRIP_TOP, width, STRIP_HEIGHT, line, SLAT)
    elif mark.kind == "joint":
        with pen.group(mark.words, mark="joint", index=mark.index):
            pen.line(x, STRIP_TOP - 1.6, x, TICK_LINE, p.CHAIN)
    elif mark.kind == "opening":
        y = STRIP_TOP - 1.5
        with pen.group(mark.words, mark="opening", index=mark.index):
            pen.path(f"M{x:.3f} {STRIP_TOP:.3f}V{y:.3f}H{x + width:.3f}V{STRIP_TOP:.3f}", p.WIDE)


def _fixings(pen: p.Pen, set_out: SetOut, scale: float) -> None:
    """Crosses over the strip, one for each line of fixing points across the run."""
    upright = set_out.run == "upright"
    points = (point for panel in set_out.panels for point in panel.fixings)
    places = sorted({point.x if upright else point.y for point in points})
    y = STRIP_TOP - 3.4
    with pen.group(fixings=len(places)):
        for at in places:
            x = SIDE + float(at) * scale
            words = _("Fixing points at {at} mm").format(at=figure(at))
            with pen.group(words, mark="fixing", at=figure(at)):
                pen.path(f"M{x - ARM:.3f} {y:.3f}h{2 * ARM:.3f}M{x:.3f} {y - ARM:.3f}v{2 * ARM:.3f}", p.WIDE)


def _values(pen: p.Pen, found: tuple[Mark, ...], scale: float, length: Fraction, far: bool) -> None:
    """Values from the datum, level under their ticks; the widest sets how close two may stand."""
    spacing = p.words_width(figure(length) + ".9") + 0.8
    stops = [Stop(at=Fraction(0), rank=5), Stop(at=length, rank=5, bold=True)]
    for mark in found:
        rank = RANK[mark.kind] + (1 if mark.kind == "slat" and mark.bold else 0)
        stops.append(Stop(at=mark.from_datum, rank=rank, bold=mark.bold))
    kept = kept_stops(stops, scale, spacing)
    pen.line(SIDE, TICK_LINE, SIDE + float(length) * scale, TICK_LINE)
    pen.circle(SIDE + (float(length) * scale if far else 0), TICK_LINE, 1.0)
    for stop in kept:
        x = SIDE + float(length - stop.at if far else stop.at) * scale
        if stop.at > 0:
            pen.line(x, STRIP_TOP + STRIP_HEIGHT + 0.4, x, TICK_LINE + GAP)
            tick(pen, x, TICK_LINE)
        pen.text(x, TICK_LINE + 4.9, figure(stop.at), anchor="middle", bold=stop.bold)
