"""The wish: slats, gaps, and the boards behind them (job file sections ``slats`` and ``panels``)."""

from fractions import Fraction
from typing import Annotated, Literal

from meshes.layout.lengths import Value, Within

SlatSize = Annotated[Fraction, Within(3, 300)]
GapSize = Annotated[Fraction, Within(0, 500)]
Thickness = Annotated[Fraction, Within(0, 100)]
Length = Annotated[Fraction, Within(1, 60_000)]


class AsMachined(Value):
    """The slat as it really came out of the machine."""

    width: SlatSize
    depth: SlatSize


class Slats(Value):
    """The wanted slats. ``gap_mm`` is a wish; the set-out takes the nearest gap that works."""

    run: Literal["upright", "level"] = "upright"
    width_mm: SlatSize
    depth_mm: SlatSize
    gap_mm: GapSize
    ends: Literal["slat", "gap"] = "slat"
    as_machined_mm: AsMachined | None = None


class Panels(Value):
    """The backing boards. ``packing_mm`` stands behind the board, ``fabric_mm`` is the cloth's thickness."""

    thickness_mm: Thickness = Fraction(12)
    packing_mm: Thickness = Fraction(0)
    fabric_mm: Thickness = Fraction(1)
    max_width_mm: Length = Fraction(700)
    sheet_mm: tuple[Length, Length] = (Fraction(1220), Fraction(2440))
    joint_clearance_mm: Thickness = Fraction(2)
    saw_kerf_mm: Thickness = Fraction(3)
