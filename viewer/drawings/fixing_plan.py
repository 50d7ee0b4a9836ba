"""Where panels are fixed and where nothing may be drilled, for whoever opens the wall years later."""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.hatching import hatch_outline
from viewer.drawings.outlines import band_outlines, swept_to, wall_outline
from viewer.drawings.place import Place
from viewer.drawings.scale import RULE_SERIES, choose_scale, scale_bar

ARM = 1.2


def fixing_plan(set_out: SetOut, *, width_mm: float = 250, height_mm: float = 150) -> str:
    """SVG of one wall to scale: panels, fixing points as crosses, no-drill bands hatched, openings."""
    upright = set_out.run == "upright"
    # beside the wall, clear of crosses and hatching, the panels have their numbers
    left, right, top, bottom = (17.0, 4.0, 6.5, 24.0) if upright else (17.0, 9.0, 3.0, 24.0)
    below = -float(set_out.lowest_floor)
    scale = choose_scale(
        float(set_out.wall_width),
        float(set_out.wall_height) + below,
        width_mm - left - right,
        height_mm - top - bottom,
        to_scale=True,
        series=RULE_SERIES,
    )
    floor = top + float(set_out.wall_height) * scale
    pen = p.Pen(
        width=width_mm,
        height=floor + below * scale + bottom,
        title=_("Fixing points and no-drill bands"),
        description=_("{points} fixing points, {bands} bands").format(
            points=sum(len(panel.fixings) for panel in set_out.panels), bands=len(set_out.bands)
        ),
    )

    place = Place(left=left, floor=floor, units_per_mm=scale)
    pen.path(place.path(wall_outline(set_out)), p.WIDE)
    start = Fraction(0)
    drawn = Rect(left=start, bottom=start, width=set_out.wall_width, height=set_out.wall_height)
    for band in set_out.bands:
        with pen.group(band.why, band=band.why):
            for outline in band_outlines(band, drawn):
                pen.path(place.path(outline), p.DASHED)
                hatch_outline(pen, place.corners(outline), spacing=2.4, falling=True)
    for panel in set_out.panels:
        x, y, w, h = place.box(panel.outline)
        pen.rect(x, y, w, h, p.WIDE)
        number = str(panel.index + 1)
        if upright and w > p.words_width(number) + 0.8:
            pen.text(x + w / 2, top - 1.8, number, anchor="middle", bold=True)
        elif not upright and h > p.LETTERING:
            beside = place.x(set_out.wall_width) + 2
            pen.text(beside, y + h / 2 + p.LETTERING * 0.35, number, bold=True)
        for point in panel.fixings:
            cx, cy = place.x(point.x), place.y(point.y)
            pen.line(cx - ARM, cy - ARM, cx + ARM, cy + ARM, p.WIDE)
            pen.line(cx - ARM, cy + ARM, cx + ARM, cy - ARM, p.WIDE)
    for opening in set_out.openings:
        pen.rect(*place.box(opening.rect), p.WIDE, "#ffffff")
    along = {set_out.wall_width: 3}
    ceiling = swept_to(set_out)
    up = {set_out.wall_height if ceiling is None else ceiling.left: 3}
    for panel in set_out.panels:
        for point in panel.fixings:
            along.setdefault(point.x, 1)
            up.setdefault(point.y, 1)
    foot = place.y(set_out.lowest_floor)
    for stops, draw in ((along, "x"), (up, "y")):
        marks = [Stop(at=at, rank=rank) for at, rank in stops.items() if at > 0]
        if draw == "x":
            running_along(pen, marks, x0=left, y=foot + 5, from_y=foot + GAP, units_per_mm=scale)
        else:
            running_up(pen, marks, y0=floor, x=left - 4, from_x=left - GAP, units_per_mm=scale)
    scale_bar(pen, x=left, y=pen.height - 3, units_per_mm=scale, to_scale=True)
    return pen.svg(drawing="fixing_plan", scale=round(scale, 9))
