"""Elevation of one wall: slats, openings, zones, joints and the dimensions that a joiner needs to set it out.

::

      P1     P2     P3          balloons over the panels (when there is room)
    | : ||||||| : |||||| |
    | : ||[ ]|| : |||||| |      slats cut at openings, joints as chain lines
    |_:_|||||||_:_||||||_|      skirting, floor
    o---/----/--/------/-/      running dimensions from one datum
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.survey import Zone
from viewer.drawings import pen as p
from viewer.drawings.dimension import GAP, Stop, running_along, running_up
from viewer.drawings.earlier import ROOM, draw_earlier, earlier_words
from viewer.drawings.figures import figure
from viewer.drawings.front import draw_joints, draw_levels, draw_panel_names, draw_slats, draw_wall
from viewer.drawings.marks import marks, opening_word
from viewer.drawings.openings import draw_fixings, draw_openings, draw_words, draw_zone
from viewer.drawings.outlines import swept_to
from viewer.drawings.place import Place
from viewer.drawings.scale import RULE_SERIES, choose_scale, scale_bar
from viewer.drawings.title_block import HEIGHT, TitleBlock, title_block

FULL_MM = 200
"""From this width of paper on a drawing shows everything."""
MEDIUM_MM = 120
VALUES_HEIGHT = 12.5
LONGER_VALUES = 3.0
"""What values of five figures take more [mm of paper]."""
VALUES_WIDTH = 11.5
MARGIN = 2.0
NAMES, LEVELS = 7.0, 6.0
"""Room over the wall for the panels' names, and for the heights of a ceiling that slats are swept to."""
AFTER_BAR = 6.0
"""Between the scale bar's words and what stands beside them [mm of paper]."""


def elevation(
    set_out: SetOut,
    *,
    zones: Sequence[Zone] = (),
    width_mm: float = 180,
    height_mm: float | None = None,
    to_scale: bool = False,
    fixings: bool = False,
    block: TitleBlock | None = None,
    was: SetOut | None = None,
) -> str:
    """SVG of one wall, ``width_mm`` of paper wide and at most ``height_mm`` high.

    ``to_scale`` takes the next smaller scale of a scale rule, for print; else the wall fills the sheet.
    ``fixings`` adds the fixing points as a group that a page can show and hide, ``block`` a title block,
    ``was`` a strip of where an earlier set-out of the same wall had its slats, unless they are the same;
    over the wall it makes the drawing higher, not the scale smaller.
    """
    earlier = earlier_words(was, set_out)
    level = was is not None and was.run == "level"
    foot = HEIGHT if block else 0.0
    full, medium = width_mm >= FULL_MM, width_mm >= MEDIUM_MM
    room = _room(set_out, width_mm=width_mm, earlier=bool(earlier), level=level, foot=foot)
    place, height = _placed(set_out, room, width_mm=width_mm, height_mm=height_mm, to_scale=to_scale)
    before = [_("Before: {earlier}.").format(earlier=earlier)] if earlier else []
    pen = p.Pen(
        width=width_mm,
        height=height,
        title=_("Elevation"),
        description=" ".join([_describe(set_out), *before]),
    )
    draw_wall(pen, set_out, place)
    draw_slats(pen, set_out, place, every=to_scale)
    if was is not None and earlier:
        edge = place.x(set_out.wall_width) if room.beside else room.above
        draw_earlier(pen, was, set_out, place, edge=edge)
    if medium:
        _heads(pen, set_out, room, place)
    for zone in zones:
        draw_zone(pen, zone, place)
    draw_openings(pen, set_out, place)
    if medium:
        draw_words(pen, set_out, zones, place)
    if fixings:
        draw_fixings(pen, set_out, place)
    _dimensions(pen, set_out, place, fine=medium)
    scale, bar = place.units_per_mm, pen.height - foot - 3.2
    bar_end = scale_bar(pen, x=place.x(Fraction(0)), y=bar, units_per_mm=scale, to_scale=to_scale)
    if full:
        _rhythm_note(pen, set_out, bar_end, place.x(set_out.wall_width), bar + 1.8)
    if block:
        title_block(pen, block)
    return pen.svg(
        drawing="elevation", left=round(place.left, 3), floor=round(place.floor, 3), scale=round(scale, 9)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """What the paper keeps free round the wall [mm of paper].

    ``above``: of ``top``, for an earlier set-out over the wall; ``names``: for those of panels, 0 without;
    ``beside``: whether an earlier set-out stands at the right.
    """

    top: float
    bottom: float
    left: float
    right: float
    above: float
    names: float
    beside: bool


def _room(set_out: SetOut, *, width_mm: float, earlier: bool, level: bool, foot: float) -> _Room:
    medium, several = width_mm >= MEDIUM_MM, len(set_out.panels) > 1
    names = NAMES if medium and several and set_out.run == "upright" else 0.0
    levels = LEVELS if medium and swept_to(set_out) is not None else 0.0
    above = ROOM if earlier and not level else 0.0
    below = 5 + VALUES_HEIGHT + 6 + (LONGER_VALUES if set_out.wall_width >= 10_000 else 0)
    return _Room(
        top=above + (names + levels or MARGIN),
        bottom=below + foot,
        left=MARGIN + VALUES_WIDTH + 4,
        right=MARGIN + 1 + (ROOM if earlier and level else 0.0),
        above=above,
        names=names,
        beside=earlier and level,
    )


def _placed(
    set_out: SetOut, room: _Room, *, width_mm: float, height_mm: float | None, to_scale: bool
) -> tuple[Place, float]:
    """Where the wall stands on the paper and how large it is drawn; and how high the drawing is [mm]."""
    room_mm = None if height_mm is None else height_mm + room.above - room.top - room.bottom
    below = -float(set_out.lowest_floor)
    scale = choose_scale(
        float(set_out.wall_width),
        float(set_out.wall_height) + below,
        width_mm - room.left - room.right,
        room_mm,
        to_scale=to_scale,
        series=RULE_SERIES,
    )
    wall_width, wall_height = float(set_out.wall_width) * scale, float(set_out.wall_height) * scale
    left = room.left + max(0.0, (width_mm - room.left - room.right - wall_width) / 2)
    place = Place(left=left, floor=room.top + wall_height, units_per_mm=scale)
    return place, room.top + wall_height + below * scale + room.bottom


def _heads(pen: p.Pen, set_out: SetOut, room: _Room, place: Place) -> None:
    """Joints, and over the wall the panels' names and the heights of a ceiling that slats are swept to."""
    draw_joints(pen, set_out, place)
    if room.names:
        draw_panel_names(pen, set_out, place, baseline=room.above + room.names - 1.8)
    ceiling = swept_to(set_out)
    if ceiling is not None:
        draw_levels(pen, ceiling, place)


def _describe(set_out: SetOut) -> str:
    openings = ", ".join(
        _("{kind} at {left} mm, {bottom} mm above the floor").format(
            kind=opening_word(opening.kind),
            left=figure(opening.rect.left),
            bottom=figure(opening.rect.bottom),
        )
        for opening in set_out.openings
    )
    words = _(
        "Wall {width} by {height} mm with {count} slats of {slat} mm and gaps of {gap} mm on {panels} panels."
    ).format(
        width=figure(set_out.wall_width),
        height=figure(set_out.wall_height),
        count=len(set_out.slats),
        slat=figure(set_out.slat_width),
        gap=figure(set_out.gap),
        panels=len(set_out.panels),
    )
    return f"{words} {_('Openings')}: {openings}." if openings else words


def _dimensions(pen: p.Pen, set_out: SetOut, place: Place, *, fine: bool) -> None:
    face = set_out.face
    width, far = set_out.wall_width, set_out.datum == "right"
    along = {Fraction(0) if far else width: 3, face.left: 1, face.right: 2}
    ceiling = swept_to(set_out)
    end = set_out.wall_height if ceiling is None or not fine else ceiling.left
    up = {end: 3, face.bottom: 1, face.top: 2}
    for opening in set_out.openings:
        along.setdefault(opening.rect.left, 2)
        up.setdefault(opening.rect.bottom, 2)
        if fine:
            along.setdefault(opening.rect.right, 1)
            up.setdefault(opening.rect.top, 1)
    foot = place.y(set_out.lowest_floor)
    joints = [mark.at for mark in marks(set_out) if mark.kind == "joint"] if fine else []
    for at in joints:
        (along if set_out.run == "upright" else up).setdefault(at, 0)
    stops = [Stop(at=width - at if far else at, rank=rank) for at, rank in along.items()]
    running_along(
        pen,
        [stop for stop in stops if stop.at > 0],
        x0=place.x(width if far else Fraction(0)),
        y=foot + 5,
        from_y=foot + GAP,
        units_per_mm=-place.units_per_mm if far else place.units_per_mm,
    )
    running_up(
        pen,
        [Stop(at=at, rank=rank) for at, rank in up.items() if at > 0],
        y0=place.floor,
        x=place.left - 4,
        from_x=place.left - GAP,
        units_per_mm=place.units_per_mm,
    )


def _rhythm_note(pen: p.Pen, set_out: SetOut, bar_end: float, wall_end: float, baseline: float) -> None:
    """In line with the scale bar, up to the wall's end, or beside the bar; not where neither has room."""
    words = _("{count} slats {slat} mm, gap {gap} mm, pitch {pitch} mm").format(
        count=len(set_out.slats),
        slat=figure(set_out.slat_width),
        gap=figure(set_out.gap),
        pitch=figure(set_out.pitch),
    )
    long, after_bar = p.words_width(words), bar_end + AFTER_BAR
    if after_bar + long <= wall_end:
        pen.text(wall_end, baseline, words, anchor="end")
    elif after_bar + long <= pen.width:
        pen.text(after_bar, baseline, words)
