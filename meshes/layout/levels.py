"""Floor and ceiling as they really run: out of level, measured at three places, with straight lines between.

::

    ceiling  ____.----'''''      c(x) = floor there + height measured there
                                 slats plain: level, up to the lowest point; swept: each up to c(x)
    floor    ----.____           y = 0 at the wall's left end; slats start level, at the highest point
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.measured import Measured, points
from meshes.layout.survey import Wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Heights [mm] at the wall's left end, middle and right end."""

    width: Fraction
    left: Fraction
    middle: Fraction
    right: Fraction

    @property
    def lowest(self) -> Fraction:
        return min(self.left, self.middle, self.right)

    @property
    def highest(self) -> Fraction:
        return max(self.left, self.middle, self.right)

    @property
    def level(self) -> bool:
        return self.left == self.middle == self.right

    @property
    def straight(self) -> bool:
        return 2 * self.middle == self.left + self.right

    def at(self, x: Fraction) -> Fraction:
        """Height at ``x``; beyond the ends the line goes on."""
        half = self.width / 2
        if x <= half:
            return self.left + (self.middle - self.left) * x / half
        return self.middle + (self.right - self.middle) * (x - half) / half

    def straight_under(self, start: Fraction, end: Fraction) -> tuple[Fraction, Fraction]:
        """Heights at two places of a straight cut that stays under the line and touches it."""
        low, high = self.at(start), self.at(end)
        if not start < self.width / 2 < end:
            return low, high
        share = (self.width / 2 - start) / (end - start)
        over = max(Fraction(0), low + (high - low) * share - self.middle)
        return low - over, high - over

    def lowest_between(self, start: Fraction, end: Fraction) -> Fraction:
        """The lowest height between two places: what a square cut must stay under."""
        found = [self.at(start), self.at(end)]
        if start < self.width / 2 < end:
            found.append(self.middle)
        return min(found)

    def highest_between(self, start: Fraction, end: Fraction) -> Fraction:
        """The highest height between two places."""
        found = [self.at(start), self.at(end)]
        if start < self.width / 2 < end:
            found.append(self.middle)
        return max(found)

    def under(self, height: Fraction) -> list[tuple[Fraction, Fraction]]:
        """Where, from end to end, the line is at a height or below it, as (start, end) in order."""
        half = self.width / 2
        found = []
        for start, low, high in ((Fraction(0), self.left, self.middle), (half, self.middle, self.right)):
            if low <= height and high <= height:
                found.append((start, start + half))
            elif low <= height or high <= height:
                meets = start + half * (height - low) / (high - low)
                found.append((start, meets) if low <= height else (meets, start + half))
        return found

    @property
    def steepest(self) -> Fraction:
        """Rise or fall of its steeper half, as a share of the way along."""
        half = self.width / 2
        return max(abs(self.middle - self.left), abs(self.right - self.middle)) / half

    def lowered(self, by: Fraction) -> "Line":
        """The same line so much lower."""
        return Line(width=self.width, left=self.left - by, middle=self.middle - by, right=self.right - by)


def floor_line(wall: Wall) -> Line:
    """The finished floor, 0 at the left end."""
    rise = wall.floor_out_of_level_mm
    return Line(width=wall.width_mm, left=Fraction(0), middle=rise / 2, right=rise)


def height_over(wall: Wall, start: Fraction, end: Fraction) -> Fraction:
    """How high the room is between two places along the wall [mm]: what the wall's height says, or under a
    ceiling that slats are swept to, the lowest that it is there.
    """
    if wall.ceiling != "swept":
        return Fraction(wall.height_mm)
    left, right = (min(max(place, Fraction(0)), wall.width_mm) for place in (start, end))
    return ceiling_line(wall).lowest_between(left, right)


def ceiling_line(wall: Wall) -> Line:
    """The ceiling: the floor plus the three heights, or one height with the ceiling's own fall."""
    if isinstance(wall.height_mm, Measured):
        floor = floor_line(wall)
        left, middle, right = points(wall.height_mm)
        return Line(width=wall.width_mm, left=left, middle=floor.middle + middle, right=floor.right + right)
    height = Fraction(wall.height_mm)
    rise = wall.ceiling_out_of_level_mm
    return Line(width=wall.width_mm, left=height, middle=height + rise / 2, right=height + rise)
