"""What moved between two set-outs of one wall: the earlier one over the present one, at one scale.

::

     __________________   signed on 2026-11-21: 72 slats of 44 mm, gap 14.2 mm
    |       [ ]:..:    |  |##|##|##|##|##|##|##|##|##|
    |__________________|  |##| |##| |##| |##| |##| |##|
                          now: 69 slats of 44 mm, gap 16.8 mm

At the left, where edges or openings moved: as it is now in wide lines, what was there before as ISO 128-2
draws initial outlines. At the right the run from its datum. On narrow paper one stands over the other.
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from viewer.drawings import pen as p
from viewer.drawings.figures import figure
from viewer.drawings.marks import opening_word
from viewer.drawings.outlines import Outline, face_outline, rect_outline
from viewer.drawings.place import Place

BEFORE = p.Line(width=0.25, dashes=(24, 3, 0.5, 3, 0.5, 3))
"""ISO 128-2, line type 05: initial outlines, before what is drawn in wide lines."""
SLAT = "#fcfcfc"
GROUND = "#8c8c8c"
SIDE, STRIP, WORDS, HEIGHT = 2.0, 7.0, 5.0, 36.0
SIDE_BY_SIDE_MM = 150


def differs(was: SetOut, now: SetOut) -> bool:
    """Whether there is anything to draw: slats, edges or openings elsewhere than before."""
    return _shape(was) != _shape(now)


def _shape(one: SetOut) -> tuple[object, ...]:
    return one.run, face_outline(one), spans(one), _holes(one)


def _holes(one: SetOut) -> list[tuple[str, Rect]]:
    return [(opening.kind, opening.rect) for opening in one.openings]


def spans(one: SetOut) -> list[tuple[Fraction, Fraction]]:
    """Where each slat starts and ends along the run, from the wall's left end or from the floor [mm]."""
    if one.run == "upright":
        return [(slat.extent.left, slat.extent.right) for slat in one.slats]
    return [(slat.extent.bottom, slat.extent.top) for slat in one.slats]


def moved(was: SetOut, now: SetOut, *, was_words: str, now_words: str, width_mm: float = 200) -> str:
    """SVG of both, ``width_mm`` of paper wide; the words say when each of them holds."""
    strips = 2 * (WORDS + STRIP)
    old, new = face_outline(was), face_outline(now)
    framed = (old, _holes(was)) != (new, _holes(now))
    wide = float(max(was.wall_width, now.wall_width))
    high = float(max(was.wall_height, now.wall_height))
    beside = framed and width_mm >= SIDE_BY_SIDE_MM
    scale = min((width_mm - 2 * SIDE) / (wide * (2 if beside else 1)), HEIGHT / high)
    left = SIDE + (wide * scale + 4 if beside else 0.0)
    top = max(0.0, (high * scale + 2 * SIDE - strips) / 2) if beside else 0.0
    height = strips if not framed else high * scale + 2 * SIDE + (0 if beside else strips)
    pen = p.Pen(
        width=width_mm,
        height=max(height, strips),
        title=_("What moved"),
        description=f"{_said(was_words, was)}. {_said(now_words, now)}.",
    )
    run = (width_mm - left - SIDE) / max(_along(was), _along(now))
    pen.text(left, top + WORDS - 1.4, _said(was_words, was))
    _strip(pen, was, left, top + WORDS, run)
    _strip(pen, now, left, top + WORDS + STRIP, run)
    pen.text(left, top + strips - 1.4, _said(now_words, now), bold=True)
    if framed:
        place = Place(left=SIDE, floor=pen.height - SIDE, units_per_mm=scale)
        _outline(pen, new, place, p.WIDE)
        if old != new:
            _outline(pen, old, place, BEFORE)
        _openings(pen, was, now, place)
    return pen.svg(drawing="moved")


def _said(words: str, one: SetOut) -> str:
    return _("{when}: {count} slats of {slat} mm, gap {gap} mm").format(
        when=words, count=len(one.slats), slat=figure(one.slat_width), gap=figure(one.gap)
    )


def _along(one: SetOut) -> float:
    return float(one.wall_width if one.run == "upright" else one.wall_height)


def _strip(pen: p.Pen, one: SetOut, left: float, top: float, scale: float) -> None:
    """Slats along the run, from its end at the left or, where they lie level, from the floor."""
    slats = spans(one)
    if not slats:
        return
    start, end = float(slats[0][0]), float(slats[-1][1])
    pen.rect(left + start * scale, top, (end - start) * scale, STRIP, p.NONE, GROUND)
    for low, high in slats:
        x, width = left + float(low) * scale, float(high - low) * scale
        pen.rect(x, top, width, STRIP, p.NARROW if width > 4 * p.NARROW.width else p.NONE, SLAT)


def _outline(pen: p.Pen, outline: Outline, place: Place, line: p.Line) -> None:
    pen.path(place.path(outline), line)


def _openings(pen: p.Pen, was: SetOut, now: SetOut, place: Place) -> None:
    """Every opening as it is now; one that moved, came or went also as it was, and by its new place."""
    before = {number: one for number, one in enumerate(was.openings)}
    for number, opening in enumerate(now.openings):
        _outline(pen, rect_outline(opening.rect), place, p.WIDE)
        old = before.pop(number, None)
        if old is not None and (old.kind, old.rect) == (opening.kind, opening.rect):
            continue
        if old is not None:
            _outline(pen, rect_outline(old.rect), place, BEFORE)
        _name(pen, opening.rect, _place(opening.kind, old.rect if old else None, opening.rect), place)
    for gone in before.values():
        _outline(pen, rect_outline(gone.rect), place, BEFORE)
        words = _("{opening}, gone").format(opening=opening_word(gone.kind))
        _name(pen, gone.rect, words, place)


def _place(kind: str, old: Rect | None, new: Rect) -> str:
    """How far it moved; its new place where it is new or has another size."""
    if old is None or (old.width, old.height) != (new.width, new.height):
        return _("{opening} at {left}, {bottom} up").format(
            opening=opening_word(kind), left=figure(new.left), bottom=figure(new.bottom)
        )
    found = []
    for was, now, pattern in (
        (old.left, new.left, _("{was} → {now}")),
        (old.bottom, new.bottom, _("{was} → {now} up")),
    ):
        if was != now:
            found.append(pattern.format(was=figure(was), now=figure(now)))
    return ", ".join(found)


def _name(pen: p.Pen, rect: Rect, words: str, place: Place) -> None:
    pen.text(place.x(rect.left), place.y(rect.top) - 1.2, words)
