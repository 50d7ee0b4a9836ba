"""Even gaps: how many slats fill a run, and the one gap that results.

::

    ends "slat":  w g w g w          run = n w + (n - 1) g
    ends "gap":   g w g w g          run = n w + (n + 1) g
"""

from dataclasses import dataclass
from fractions import Fraction
from math import floor


@dataclass(frozen=True, slots=True, kw_only=True)
class EvenGap:
    """``count`` slats with one equal ``gap`` [mm]."""

    count: int
    gap: Fraction


def gap_for(run: Fraction, width: Fraction, count: int, ends: str) -> Fraction | None:
    """The gap that ``count`` slats leave [mm]; None when they do not fit or leave nothing to divide by."""
    rest = run - count * width
    spaces = count - 1 if ends == "slat" else count + 1
    if rest < 0 or count < 1 or (spaces == 0 and rest != 0):
        return None
    return rest / spaces if spaces else Fraction(0)


def even_gaps(run: Fraction, width: Fraction, wish: Fraction, ends: str, reach: int = 1) -> list[EvenGap]:
    """Set-outs with an even gap around the wish, nearest first, the larger gap first on a tie.

    ``reach`` counts are tried on each side of the ideal one. Empty when not even the fewest slats fit.
    """
    spaces_less_slats = -1 if ends == "slat" else 1
    ideal = floor((run - spaces_less_slats * wish) / (width + wish))
    found = []
    for count in range(max(1, ideal - reach + 1), ideal + reach + 1):
        gap = gap_for(run, width, count, ends)
        if gap is not None:
            found.append(EvenGap(count=count, gap=gap))
    return sorted(found, key=lambda even: (abs(even.gap - wish), -even.gap))
