"""The wish: slats, gaps, and the boards behind them (job file sections ``slats`` and ``panels``)."""

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from meshes.layout.lengths import Value, Within
from meshes.layout.movement import Species

SlatSize = Annotated[Fraction, Within(3, 300)]
GapSize = Annotated[Fraction, Within(0, 500)]
Tolerance = Annotated[Fraction, Within(0, 5)]
Thickness = Annotated[Fraction, Within(0, 100)]
Length = Annotated[Fraction, Within(1, 60_000)]
SheetSide = Annotated[Fraction, Within(100, 60_000)]
FixingSpacing = Annotated[Fraction, Within(50, 60_000)]
Position = Annotated[Fraction, Within(-60_000, 60_000)]
Ratio = Annotated[Fraction, Within(0.1, 10, "times")]
Moisture = Annotated[Fraction, Within(0, 40, "%")]
Density = Annotated[Fraction, Within(50, 2000, "kg/m3")]
Mass = Annotated[Fraction, Within(1, 1000, "kg")]


class AsMachined(Value):
    """The slat as it really came out of the machine."""

    width: SlatSize = Field(description="In mm, across the face.")
    depth: SlatSize = Field(description="In mm, out from the board.")


class Pattern(Value):
    """A rhythm other than slat, gap, slat, gap; the even gap is solved for it."""

    widths_mm: tuple[SlatSize, ...] = Field(
        (), max_length=12, description="In mm; slat widths that repeat; left out: all as width_mm."
    )
    group: Annotated[int, Field(ge=1, le=6)] = Field(1, description="Slats that stand together.")
    group_gap_mm: GapSize = Field(Fraction(0), description="In mm; the gap inside a group.")
    last_to_first: Ratio = Field(
        Fraction(1),
        description="Graded gaps: the last gap, counted from the datum, as a multiple of the first.",
    )


class Slats(Value):
    """The wanted slats. ``gap_mm`` is a wish; the set-out takes the nearest gap that works."""

    run: Literal["upright", "level"] = Field("upright", description="Which way the slats stand or lie.")
    width_mm: SlatSize
    depth_mm: SlatSize
    gap_mm: GapSize
    ends: Literal["slat", "gap"] = Field("slat", description="What an even gap finishes on at both ends.")
    as_machined_mm: AsMachined | None = None
    datum: Literal["left", "right", "bottom", "top"] | None = Field(
        None, description="Where measuring and mounting start; left out: left, and bottom for level slats."
    )
    spacing: Literal["even", "spacer", "centred", "feature", "visible_end"] = Field(
        "even",
        description="even: one solved gap; spacer: a spacer from the datum; centred, feature: a slat or gap "
        "in the middle or at feature_mm; visible_end: the wished gap from the open end.",
    )
    closing: Literal["slat", "gap", "shadow_gap", "trim"] = Field(
        "slat", description="What takes up the remainder where the gap is given: a ripped slat, a gap, …"
    )
    centre_on: Literal["slat", "gap"] = Field(
        "slat", description="What stands in the middle or on the feature."
    )
    feature_mm: Position | None = Field(
        None, description="In mm; the line that a slat or gap is centred on: a bed, a screen, a fireplace."
    )
    gap_range_mm: tuple[GapSize, GapSize] | None = Field(
        None, description="In mm; the smallest and largest gap allowed."
    )
    spacers_mm: tuple[GapSize, ...] = Field(
        (),
        max_length=100,
        description="In mm; measured spacers that the maker owns. With one of the wished gap, spacer and "
        "centred keep that gap where they can, and closing takes the remainder.",
    )
    shift_for_openings: bool = Field(
        False, description="Shift the grid so that plate edges fall in gaps, where the ends allow it."
    )
    pattern: Pattern = Field(Pattern(), description="A rhythm other than slat, gap, slat, gap.")
    width_tolerance_mm: Tolerance = Field(
        Fraction(1, 5), description="In mm; how far one slat may be off its width (common practice)."
    )
    spacer_tolerance_mm: Tolerance = Field(
        Fraction(1, 10), description="In mm; how far a spacer may be off its thickness (common practice)."
    )
    rod_parts_of_inch: Literal[16, 32] = Field(
        16, description="Rods are marked in mm, and in inches to 1/16 or 1/32."
    )
    longest_mm: Length | None = Field(
        None, description="In mm; longer slats get staggered joints; left out: every slat is one length."
    )
    species: Species = Field(
        "unknown", description="For seasonal movement; unknown: the one that moves most."
    )
    moisture_percent: tuple[Moisture, Moisture] = Field(
        (Fraction(7), Fraction(11)),
        description="Moisture content indoors, heated winter and damp summer (common practice).",
    )
    ripped_at_percent: Moisture | None = Field(
        None, description="Moisture content when the slats were ripped, if they were not yet dry."
    )
    density_kg_m3: Density = Field(
        Fraction(520), description="Of the slats, for weight (common practice for redwood pine)."
    )


class Cleared(Value):
    """A fixing point in a no-drill band that a person answers for by name."""

    left_mm: Position
    bottom_mm: Position
    by: Annotated[str, Field(min_length=1, max_length=100, description="Who answers for the point.")]


class Panels(Value):
    """The backing boards. ``packing_mm`` stands behind the board, ``fabric_mm`` is the cloth's thickness."""

    thickness_mm: Thickness = Fraction(12)
    packing_mm: Thickness = Fraction(0)
    fabric_mm: Thickness = Fraction(1)
    max_width_mm: Length = Fraction(700)
    sheet_mm: tuple[SheetSide, SheetSide] = (Fraction(1220), Fraction(2440))
    joint_clearance_mm: Thickness = Fraction(2)
    saw_kerf_mm: Thickness = Fraction(3)
    side_clearance_mm: Thickness = Field(
        Fraction(4),
        description="In mm; left beyond the last panel, so that it goes in (3 to 5 is common practice).",
    )
    max_weight_kg: Mass = Field(Fraction(25), description="In kg; what one person carries (common practice).")
    density_kg_m3: Density = Field(Fraction(750), description="Of the board (MDF, common practice).")
    way_in_mm: tuple[Length, Length] | None = Field(
        None, description="In mm; width and length of the largest panel that gets in by door and stairs."
    )
    fixing_spacing_mm: FixingSpacing = Field(
        Fraction(900),
        description="In mm; fixing points of a panel are at most this far apart (common practice).",
    )
    cleared: tuple[Cleared, ...] = Field(
        (), max_length=500, description="Fixing points in no-drill bands that persons answer for."
    )
