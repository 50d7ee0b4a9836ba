"""The front of a wall as an elevation shows it: its outline, what frames the run, slats, and panel joints.

::

       1      2      3          names over the panels, heights of a sloping ceiling at its three places
    | : ||||||| : |||||| |
    |_:_|||||||_:_||||||_|      joints as chain lines, skirting, floor
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.levels import Line
from meshes.layout.placed import SetOut
from viewer.drawings import pen as p
from viewer.drawings.figures import figure
from viewer.drawings.marks import marks
from viewer.drawings.outlines import face_outline, foot_outline, strip_outline, swept_to, wall_outline
from viewer.drawings.place import Place

SLAT = "#fcfcfc"
GAP_TONE = "#8c8c8c"
SIDE_TONE = "#dedede"
APART = 0.5
"""Pitch from which slats are drawn one by one [mm of paper]: two pixels of the narrowest page."""
STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
ARROW = 1.4
"""Half the width and the height of the open arrowhead at a level [mm of paper]."""


def draw_wall(pen: p.Pen, set_out: SetOut, place: Place) -> None:
    """Outline up to the ceiling, floor line, skirting."""
    left, right = place.x(Fraction(0)), place.x(set_out.wall_width)
    pen.path(place.path(wall_outline(set_out)), p.WIDE)
    far = min(right + 4, pen.width)
    slope = (place.floor - place.y(set_out.floor_rise)) / (right - left)
    ends = (place.floor - slope * (x - left) for x in (left - 4, far))
    pen.line(left - 4, next(ends), far, next(ends), p.EXTRA_WIDE)
    foot = foot_outline(set_out)
    if set_out.floor_rise and foot is not None:
        pen.path(place.path(foot), p.NARROW, SIDE_TONE)
    elif set_out.skirting is not None:
        pen.rect(*place.box(set_out.skirting), p.NARROW, SIDE_TONE)


def draw_slats(pen: p.Pen, set_out: SetOut, place: Place, *, every: bool) -> None:
    """The gaps as one grey ground, the slats as one path upon it; outlines only where they stay apart.

    Under a sloping ceiling the ground goes up as far as each panel does, and slats stand over it. Slats
    closer than a screen tells apart are one tone and the panels' edges, unless ``every`` one is to be drawn.
    """
    pen.rect(*place.box(set_out.face), p.NONE, GAP_TONE)
    if swept_to(set_out) is not None:
        for panel in set_out.panels:
            pen.rect(*place.box(panel.outline), p.NONE, GAP_TONE)
    for strip in (*set_out.trims, *set_out.shadow_gaps):
        if strip.kind == "plinth" and set_out.floor_rise:
            continue  # drawn with the wall, down to the floor that it is scribed to
        tone = SIDE_TONE if strip in set_out.trims else "#4a4a4a"
        if any(strip.rise):
            pen.path(place.path(strip_outline(strip)), p.NARROW, tone)
        else:
            pen.rect(*place.box(strip.rect), p.NARROW, tone)
    outlined = float(min(set_out.slat_width, set_out.gap)) * place.units_per_mm >= 4 * p.NARROW.width
    with pen.group(part="slats", count=len(set_out.slats)):
        if every or float(set_out.pitch) * place.units_per_mm >= APART:
            pen.path(place.slats(set_out.slats), p.NARROW if outlined else p.NONE, SLAT)
        else:
            pen.path(place.path(face_outline(set_out)), p.NONE, _tone(set_out))
            _edges(pen, set_out, place)
    pen.path(place.path(face_outline(set_out)), p.WIDE)


def draw_joints(pen: p.Pen, set_out: SetOut, place: Place) -> None:
    """A chain line at every joint between panels."""
    face, ceiling = set_out.face, swept_to(set_out)
    for mark in marks(set_out):
        if mark.kind != "joint":
            continue
        with pen.group(mark.words, mark="joint", index=mark.index, at=figure(mark.at)):
            if set_out.run == "upright":
                x, top = place.x(mark.at), face.top if ceiling is None else ceiling.at(mark.at)
                pen.line(x, place.y(top) - 2.5, x, place.y(face.bottom) + 1, p.CHAIN)
            else:
                y = place.y(mark.at)
                pen.line(place.x(face.left) - 1, y, place.x(face.right) + 2, y, p.CHAIN)


def _tone(set_out: SetOut) -> str:
    """Slats and gaps as the eye mixes them from afar, by their shares."""
    share = float(set_out.slat_width / set_out.pitch)
    grey = round(share * int(SLAT[1:3], 16) + (1 - share) * int(GAP_TONE[1:3], 16))
    return f"#{grey:02x}{grey:02x}{grey:02x}"


def _edges(pen: p.Pen, set_out: SetOut, place: Place) -> None:
    """Where panels meet, as one path."""
    boxes = [place.box(panel.outline) for panel in set_out.panels[1:]]
    if set_out.run == "upright":
        pen.path("".join(f"M{x:.3f} {y:.3f}v{high:.3f}" for x, y, _wide, high in boxes))
    else:
        pen.path("".join(f"M{x:.3f} {y + high:.3f}h{wide:.3f}" for x, y, wide, high in boxes))


def draw_panel_names(pen: p.Pen, set_out: SetOut, place: Place, *, baseline: float) -> None:
    """The names of panels that stand side by side; where not all have room, numbers, of many each 5th."""
    boxes = [place.box(panel.board) for panel in set_out.panels]
    names = [_("Panel {number}").format(number=panel.index + 1) for panel in set_out.panels]
    named = all(p.words_width(name) <= box[2] - 2 for name, box in zip(names, boxes, strict=True))
    widest = max(p.words_width(str(panel.index + 1)) for panel in set_out.panels) + 1
    usual = sorted(box[2] for box in boxes)[len(boxes) // 2]
    step = 1 if named else next((step for step in STEPS if step * usual > widest), STEPS[-1])
    for panel, name, (x, _y, width, _height) in zip(set_out.panels, names, boxes, strict=True):
        words = name if named else str(panel.index + 1)
        if (panel.index + 1) % step == 0 and (step > 1 or p.words_width(words) < width - 1):
            pen.text(x + width / 2, baseline, words, anchor="middle")


def draw_levels(pen: p.Pen, ceiling: Line, place: Place) -> None:
    """Heights of the ceiling above y = 0, each on an open arrowhead that stands on it (ISO 129-1)."""
    heights = (ceiling.left, ceiling.middle, ceiling.right)
    for number, (height, anchor) in enumerate(zip(heights, ("start", "middle", "end"), strict=True)):
        at = ceiling.width * number / 2
        x, y, words = place.x(at), place.y(height), figure(height)
        if anchor == "middle" and ceiling.width * Fraction(place.units_per_mm) < 3 * p.words_width(words):
            continue
        with pen.group(_("Ceiling {height} mm").format(height=words), mark="level", at=figure(at)):
            pen.path(f"M{x - ARROW:.3f} {y - ARROW:.3f}L{x:.3f} {y:.3f}L{x + ARROW:.3f} {y - ARROW:.3f}")
            pen.text(x, y - ARROW - 0.8, words, anchor=anchor)
