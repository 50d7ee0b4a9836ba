"""Upright and level runs, from either datum, by one calculation.

``upright``: the run goes along x, slats along y; ``level``: the run goes up y, slats along x. Positions along
the run count from the face's datum end, so a wall measured from the right is the mirror of one from the left.
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.rect import Rect
from meshes.layout.spans import Span


@dataclass(frozen=True, slots=True)
class Axes:
    """Turns (along the run, along the slat) into wall rectangles and back; all in mm.

    ``zero`` is the datum's wall coordinate, ``forward`` whether the run goes on right or up from it.
    """

    upright: bool
    forward: bool
    zero: Fraction

    def rect(self, start: Fraction, end: Fraction, low: Fraction, high: Fraction) -> Rect:
        """The wall rectangle ``start`` to ``end`` along the run, ``low`` to ``high`` along the slat."""
        near = self.zero + start if self.forward else self.zero - end
        if self.upright:
            return Rect(left=near, bottom=low, width=end - start, height=high - low)
        return Rect(left=low, bottom=near, width=high - low, height=end - start)

    def slat(self, start: Fraction, width: Fraction, low: Fraction, high: Fraction) -> Rect:
        """The rectangle of ``width`` from ``start`` along the run, ``low`` to ``high`` along the slat."""
        near = self.zero + start if self.forward else self.zero - start - width
        if self.upright:
            return Rect(left=near, bottom=low, width=width, height=high - low)
        return Rect(left=low, bottom=near, width=high - low, height=width)

    def across(self, rect: Rect) -> Span:
        """(start, end) of a wall rectangle along the run."""
        near = rect.left if self.upright else rect.bottom
        size = rect.width if self.upright else rect.height
        start = near - self.zero if self.forward else self.zero - near - size
        return start, start + size

    def along(self, rect: Rect) -> Span:
        """(low, high) of a wall rectangle along the slat."""
        if self.upright:
            return rect.bottom, rect.bottom + rect.height
        return rect.left, rect.left + rect.width

    def at(self, place: Fraction) -> Fraction:
        """The wall coordinate of a place along the run."""
        return self.zero + place if self.forward else self.zero - place

    def place(self, coordinate: Fraction) -> Fraction:
        """The place along the run of a wall coordinate."""
        return coordinate - self.zero if self.forward else self.zero - coordinate


def axes_of(run: str, datum: str | None, face: Rect) -> Axes:
    """The axes of ``upright`` or ``level`` slats on a face, from its datum end."""
    if run == "upright":
        forward = datum != "right"
        return Axes(True, forward, face.left if forward else face.right)
    forward = datum != "top"
    return Axes(False, forward, face.bottom if forward else face.top)


def datum_of(run: str, datum: str | None) -> str:
    """The datum's name, with its default."""
    return datum or ("left" if run == "upright" else "bottom")
