"""Upright and level runs by one calculation: positions along the run and along the slat.

``upright``: the run goes along x, slats along y. ``level``: the run goes up y, slats along x.
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.placed import Rect


@dataclass(frozen=True, slots=True)
class Axes:
    """Turns (along the run, along the slat) into wall rectangles and back; all in mm."""

    upright: bool

    def rect(self, start: Fraction, end: Fraction, low: Fraction, high: Fraction) -> Rect:
        """The wall rectangle ``start`` to ``end`` along the run, ``low`` to ``high`` along the slat."""
        if self.upright:
            return Rect(left=start, bottom=low, width=end - start, height=high - low)
        return Rect(left=low, bottom=start, width=high - low, height=end - start)

    def across(self, rect: Rect) -> tuple[Fraction, Fraction]:
        """(start, end) of a wall rectangle along the run."""
        return (rect.left, rect.right) if self.upright else (rect.bottom, rect.top)

    def along(self, rect: Rect) -> tuple[Fraction, Fraction]:
        """(low, high) of a wall rectangle along the slat."""
        return (rect.bottom, rect.top) if self.upright else (rect.left, rect.right)


def axes_of(run: str) -> Axes:
    """The axes of ``upright`` or ``level`` slats."""
    return Axes(upright=run == "upright")
