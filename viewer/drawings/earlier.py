"""The set-out as it was, beside the present one at its scale: where slats stood, in line with those below.

::

    |# # # # # # # #|      the earlier run, framed by the line that ISO 128-2 has for initial outlines
       1       2           the panels as they are now
     ________________
    |## ## ## ## ## |      the wall as it is now; where slats lie level, the strip stands at its right
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from viewer.drawings import pen as p
from viewer.drawings.figures import figure
from viewer.drawings.moved import BEFORE, differs, spans
from viewer.drawings.outlines import face_outline
from viewer.drawings.place import Box, Place

ROOM = 6.0
"""What the strip needs over the wall and its panels' names, or at its right [mm of paper]."""
STRIP, AWAY = 3.0, 2.0
"""Depth of the strip, and how far it stands from the edge [mm of paper]."""
SLAT, GROUND = "#fcfcfc", "#b9b9b9"
"""Lighter than gaps are: what is there now stands out."""


def earlier_words(was: SetOut | None, now: SetOut) -> str:
    """What was there before, in words; nothing where nothing moved."""
    if was is None or not differs(was, now):
        return ""
    there = set(spans(now))
    elsewhere = sum(span not in there for span in spans(was)) if was.run == now.run else len(was.slats)
    return _("{count} slats of {slat} mm, gap {gap} mm; {elsewhere} of them stood elsewhere").format(
        count=len(was.slats),
        slat=figure(was.slat_width),
        gap=figure(was.gap),
        elsewhere=elsewhere,
    )


def draw_earlier(pen: p.Pen, was: SetOut, now: SetOut, place: Place, *, edge: float) -> None:
    """The earlier run as a strip along the wall, and its face where its edges moved.

    ``edge``: up to where the sheet is free, over the wall or at its right [mm of paper].
    """
    level = was.run == "level"
    with pen.group(_("Before: {earlier}").format(earlier=earlier_words(was, now)), before=len(was.slats)):
        old = face_outline(was)
        if old != face_outline(now):
            pen.path(place.path(old), BEFORE)
        start, end = _ends(was.face, level=level)
        pen.rect(*_box(place, start, end, edge, level=level), p.NONE, GROUND)
        outlined = float(min(was.slat_width, was.gap)) * place.units_per_mm >= 4 * p.NARROW.width
        boxes = [_box(place, low, high, edge, level=level) for low, high in spans(was)]
        slats = "".join(f"M{x:.3f} {y:.3f}h{wide:.3f}v{high:.3f}h{-wide:.3f}z" for x, y, wide, high in boxes)
        pen.path(slats, p.NARROW if outlined else p.NONE, SLAT)
        pen.rect(*_box(place, start, end, edge, level=level), BEFORE)


def _ends(face: Rect, *, level: bool) -> tuple[Fraction, Fraction]:
    return (face.bottom, face.top) if level else (face.left, face.right)


def _box(place: Place, low: Fraction, high: Fraction, edge: float, *, level: bool) -> Box:
    """The place in the strip of a stretch of the run."""
    size = float(high - low) * place.units_per_mm
    if level:
        return edge + AWAY, place.y(high), STRIP, size
    return place.x(low), edge - AWAY - STRIP, size, STRIP
