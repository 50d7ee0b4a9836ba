"""The wall as surveyed, before anything is set out on it: outline, ends, openings, zones, and their places.

::

    ////                      //// hatched: a wall stands there; an open end has none
    |  cornice                |    a ceiling that slopes: as measured, its three heights over it
    |    +--+    .---------.  |    openings crossed, zones broken lines, studs chain lines
    |    |><|    :  zone   :  |
    |____+--+____:_________:__|    skirting, floor
    o----/--/----/---------/--/    running dimensions from the left end and from the floor
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.levels import Line
from meshes.layout.rect import Rect
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.figures import figure
from viewer.drawings.front import draw_levels
from viewer.drawings.hatching import hatch
from viewer.drawings.labels import Labels
from viewer.drawings.outlines import Outline
from viewer.drawings.place import Place
from viewer.drawings.scale import RULE_SERIES, choose_scale, scale_bar

SIDE_TONE = "#dedede"
OPENING = "#fcfcfc"
RETURN = 3.5
"""How much of a wall at the end is drawn [mm of paper]."""
LEFT, RIGHT, TOP, BOTTOM = 17.5, 5.0, 4.0, 26.5
"""Room for dimensions and scale bar round the wall [mm of paper]."""
LEVELS = 5.0
"""More room over the wall, for the heights of a ceiling that slopes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """An opening or a zone: its place in the job (``openings[0]``), its word, and where it is."""

    path: str
    word: str
    rect: Rect
    zone: bool = False
    architrave: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Surveyed:
    """What of a survey can be drawn already; ``meets`` what the wall meets at its left and right end.

    ``ceiling`` is given where it slopes; ``height`` is then its lowest.
    """

    width: Fraction
    height: Fraction
    ceiling: Line | None = None
    meets: tuple[str, str] = ("wall", "wall")
    skirting: Fraction = Fraction(0)
    cornice: Fraction = Fraction(0)
    studs: tuple[Fraction, ...] = ()
    regions: tuple[Region, ...] = ()

    @property
    def top(self) -> Line:
        """The ceiling, level or sloping."""
        return self.ceiling or Line(width=self.width, left=self.height, middle=self.height, right=self.height)


def surveyed_wall(wall: Surveyed, *, width_mm: float, height_mm: float, to_scale: bool = False) -> str:
    """SVG of at most ``width_mm`` × ``height_mm`` of paper; a region is a group with its path and place."""
    top = TOP + (LEVELS if wall.ceiling else 0)
    scale = choose_scale(
        float(wall.width),
        float(wall.top.highest),
        width_mm - LEFT - RIGHT,
        height_mm - top - BOTTOM,
        to_scale=to_scale,
        series=RULE_SERIES,
    )
    left = LEFT + max(0.0, (width_mm - LEFT - RIGHT - float(wall.width) * scale) / 2)
    floor = top + float(wall.top.highest) * scale
    place = Place(left=left, floor=floor, units_per_mm=scale)
    pen = p.Pen(
        width=width_mm, height=floor + BOTTOM, title=_("The wall as surveyed"), description=_words(wall)
    )
    _frame(pen, wall, place)
    for stud in wall.studs:
        pen.line(place.x(stud), place.y(wall.top.at(stud)), place.x(stud), floor, p.CHAIN)
    labels = Labels(pen, (left, place.x(wall.width)))
    for region in wall.regions:
        if not region.zone:
            x, y, wide, high = place.box(region.rect)
            labels.take(x, y, x + wide, y + high)
    for region in sorted(wall.regions, key=lambda one: not one.zone):
        _region(pen, region, place, labels)
    if wall.ceiling:
        draw_levels(pen, wall.ceiling, place)
    _dimensions(pen, wall, place)
    scale_bar(pen, x=left, y=pen.height - 3.2, units_per_mm=scale, to_scale=to_scale)
    return pen.svg(drawing="surveyed", left=round(left, 3), floor=round(floor, 3), scale=round(scale, 9))


def _words(wall: Surveyed) -> str:
    words = _("Wall {width} by {height} mm.").format(width=figure(wall.width), height=figure(wall.height))
    places = (
        _("{word} at {left} mm, {bottom} mm above the floor").format(
            word=region.word, left=figure(region.rect.left), bottom=figure(region.rect.bottom)
        )
        for region in wall.regions
    )
    return " ".join([words, *(f"{place}." for place in places)])


def _frame(pen: p.Pen, wall: Surveyed, place: Place) -> None:
    left, right, floor = place.left, place.x(wall.width), place.floor
    heights = (wall.top.left, wall.top.right)
    for meets, x, height in zip(wall.meets, (left - RETURN, right), heights, strict=True):
        if meets in ("wall", "inside_corner"):
            hatch(pen, x, place.y(height), RETURN, floor - place.y(height), spacing=1.6)
    nought = Fraction(0)
    ceiling = _along(wall.top)
    if wall.cornice:
        under = _along(wall.top.lowered(wall.cornice))
        pen.path(place.path((*under, *reversed(ceiling))), p.NARROW, SIDE_TONE)
    if wall.skirting:
        skirting = Rect(left=nought, bottom=nought, width=wall.width, height=wall.skirting)
        pen.rect(*place.box(skirting), p.NARROW, SIDE_TONE)
    pen.path(place.path(((nought, nought), (wall.width, nought), *reversed(ceiling))), p.WIDE)
    pen.line(max(0.5, left - RETURN - 1), floor, min(right + RETURN + 1, pen.width), floor, p.EXTRA_WIDE)


def _along(line: Line) -> Outline:
    return ((Fraction(0), line.left), (line.width / 2, line.middle), (line.width, line.right))


def _region(pen: p.Pen, region: Region, place: Place, labels: Labels) -> None:
    rect = region.rect
    x, y, width, height = place.box(rect)
    size = f"{region.word} {figure(rect.width)} × {figure(rect.height)} mm"
    box = " ".join(f"{float(one):g}" for one in (rect.left, rect.bottom, rect.width, rect.height))
    with pen.group(size, region=region.path, box=box):
        if region.zone:
            pen.rect(x, y, width, height, p.DASHED)
        else:
            round_it = float(region.architrave) * place.units_per_mm
            if round_it:
                below = min(round_it, max(0.0, place.floor - y - height))  # none under a door
                pen.rect(x - round_it, y - round_it, width + 2 * round_it, height + round_it + below)
            pen.rect(x, y, width, height, p.WIDE, OPENING)
            pen.path(f"M{x:.3f} {y:.3f}l{width:.3f} {height:.3f}m0 {-height:.3f}l{-width:.3f} {height:.3f}")
    middle = x + width / 2
    if region.zone:
        rows = (y + p.LETTERING + 1, y + height / 2 + 1, y + height - 2)
        labels.put(region.word, [(middle, row) for row in rows])
    else:
        labels.put(region.word, [(middle, y - 1.6), (middle, y + height + 4)])


def _dimensions(pen: p.Pen, wall: Surveyed, place: Place) -> None:
    left, floor, scale = place.left, place.floor, place.units_per_mm
    along, up = {wall.width: 3}, {wall.top.left: 3}
    if wall.skirting:
        up[wall.skirting] = 1
    for region in wall.regions:
        rank = 1 if region.zone else 2
        along.setdefault(region.rect.left, rank)
        along.setdefault(region.rect.right, rank - 1)
        up.setdefault(region.rect.bottom, rank)
        up.setdefault(region.rect.top, rank - 1)
    running_along(
        pen,
        _stops(along, wall.width),
        x0=left,
        y=floor + 5,
        from_y=floor + GAP,
        units_per_mm=scale,
    )
    running_up(pen, _stops(up, wall.top.highest), y0=floor, x=left - 4, from_x=left - GAP, units_per_mm=scale)


def _stops(places: dict[Fraction, int], end: Fraction) -> Sequence[Stop]:
    """Dimensions to what lies on the wall; a place beyond it is a fault that its field names."""
    return [Stop(at=at, rank=rank) for at, rank in places.items() if 0 < at <= end]
