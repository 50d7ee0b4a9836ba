"""The upright rectangle that everything on a wall is made of."""

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Rect:
    """An upright rectangle on the wall [mm]."""

    left: Fraction
    bottom: Fraction
    width: Fraction
    height: Fraction

    @property
    def right(self) -> Fraction:
        return self.left + self.width

    @property
    def top(self) -> Fraction:
        return self.bottom + self.height

    @property
    def area(self) -> Fraction:
        """Area [mm2]."""
        return self.width * self.height
