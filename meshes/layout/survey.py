"""What was measured: the wall, its ends, openings and zones (job file sections of the same names).

Coordinates: x right from the left end of the wall, y up from the finished floor, z out into the room; mm.
"""

from fractions import Fraction
from typing import Annotated, Literal

from meshes.layout.lengths import Value, Within

Mm = Annotated[Fraction, Within(0, 60_000)]
Position = Annotated[Fraction, Within(-60_000, 60_000)]
Offset = Annotated[Fraction, Within(-500, 500)]
WallWidth = Annotated[Fraction, Within(100, 60_000)]
WallHeight = Annotated[Fraction, Within(300, 12_000)]


class End(Value):
    """One end of the wall. ``out_of_plumb_mm`` > 0 leans into the run at the top."""

    meets: Literal["wall", "open", "inside_corner", "outside_corner"] = "wall"
    out_of_plumb_mm: Offset = Fraction(0)
    shadow_gap_mm: Mm = Fraction(0)
    trim_mm: Mm = Fraction(0)


class Wall(Value):
    """The surveyed wall. A kept skirting: ``skirting_mm`` high, ``skirting_projection_mm`` deep."""

    width_mm: WallWidth
    height_mm: WallHeight
    skirting_mm: Mm = Fraction(0)
    skirting_projection_mm: Mm = Fraction(0)
    left: End = End()
    right: End = End()


class Opening(Value):
    """Something in the wall that the slats must leave free."""

    kind: Literal["socket", "switch", "data", "thermostat", "vent", "radiator", "window", "door", "bracket"]
    left_mm: Position
    bottom_mm: Position
    width_mm: Mm
    height_mm: Mm


class Zone(Value):
    """A region with a meaning: hidden behind furniture, not to be drilled, or to be kept accessible."""

    kind: Literal["hidden", "no_drill", "access"]
    left_mm: Position
    bottom_mm: Position
    width_mm: Mm
    height_mm: Mm
