"""What was measured: the wall, its ends, openings and zones (job file sections of the same names).

Coordinates: x right from the left end of the wall, y up from the finished floor at that end, z out into the
room; mm.
"""

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from meshes.layout.lengths import Value, Within
from meshes.layout.measured import AtThree

Mm = Annotated[Fraction, Within(0, 60_000)]
Position = Annotated[Fraction, Within(-60_000, 60_000)]
Offset = Annotated[Fraction, Within(-500, 500)]
Unevenness = Annotated[Fraction, Within(-200, 200)]
WallWidth = Annotated[Fraction, AtThree(100, 60_000, ("floor", "middle", "ceiling"))]
WallHeight = Annotated[Fraction, AtThree(300, 12_000, ("left", "middle", "right"))]
Lightness = Annotated[Fraction, Within(0, 100, "of L*")]
Chroma = Annotated[Fraction, Within(-150, 150, "of a* or b*")]

Row = tuple[Unevenness, Unevenness, Unevenness]


class End(Value):
    """One end of the wall. ``out_of_plumb_mm`` > 0 leans into the run at the top."""

    meets: Literal["wall", "open", "inside_corner", "outside_corner"] = Field(
        "wall", description="What the wall meets there; at a corner next_walls may go on round it."
    )
    out_of_plumb_mm: Offset = Fraction(0)
    shadow_gap_mm: Mm = Fraction(0)
    trim_mm: Mm = Field(
        Fraction(0), description="In mm; thickness, along the run, of what closes an open end."
    )
    closes_with: Literal["trim", "return"] = Field(
        "trim", description="An open end: a trim over the edge, or a return board back to the wall."
    )
    post_mm: Mm = Field(
        Fraction(0), description="In mm; side of the post on an outside corner; 0: as deep as the build-up."
    )


class Wall(Value):
    """The surveyed wall. A kept skirting: ``skirting_mm`` high, ``skirting_projection_mm`` deep."""

    width_mm: WallWidth = Field(
        description="In mm; one number, or measured at floor, middle and ceiling: the narrowest counts."
    )
    height_mm: WallHeight = Field(
        description="In mm; one number, or measured at left, middle and right, from the floor there."
    )
    build: Literal["masonry", "board_on_studs", "board_on_dabs", "lath", "unknown"] = Field(
        "unknown", description="What there is to fix to."
    )
    studs_mm: tuple[Position, ...] = Field(
        (), max_length=300, description="In mm; the middle of each stud or batten."
    )
    flatness_mm: tuple[Row, Row, Row] | None = Field(
        None,
        description="In mm; how far the face stands out from a plumb string line, three rows from the "
        "bottom up, each left, middle, right.",
    )
    skirting: Literal["kept", "removed"] = Field(
        "kept", description="kept: slats stand on it; removed: on a plinth, or down to the floor."
    )
    skirting_mm: Mm = Fraction(0)
    skirting_projection_mm: Mm = Fraction(0)
    closing_trim_mm: Mm = Field(
        Fraction(0), description="In mm; height of the trim that closes the raw edge over a kept skirting."
    )
    plinth_mm: Mm = Field(
        Fraction(0), description="In mm; height of the plinth below the slats where there is no skirting."
    )
    cornice_mm: Mm = Fraction(0)
    cornice_projection_mm: Mm = Fraction(0)
    ceiling: Literal["plain", "shadow", "swept", "trim"] = Field(
        "plain",
        description="plain: level, up to the lowest point; shadow, trim: level, that much lower; swept: each "
        "slat up to the ceiling over it.",
    )
    ceiling_mm: Mm = Field(Fraction(0), description="In mm; height of the shadow gap or trim at the ceiling.")
    floor_out_of_level_mm: Offset = Field(
        Fraction(0), description="In mm; how much higher the floor is at the right end than at the left."
    )
    ceiling_out_of_level_mm: Offset = Field(
        Fraction(0), description="In mm; how much higher the ceiling is at the right end, for one height."
    )
    floor_to_come_mm: Mm = Field(
        Fraction(0), description="In mm; thickness of a floor finish not yet laid; heights count from it."
    )
    left: End = Field(End(), description="The left end of the wall.")
    right: End = Field(End(), description="The right end of the wall.")


class Leaf(Value):
    """A door's leaf that folds back against this wall, with what its handle stands out from it."""

    hinge: Literal["left", "right"] = Field(description="The side of the opening that the leaf turns about.")
    width_mm: Mm
    handle_mm: Mm = Fraction(60)


class Opening(Value):
    """Something in the wall that the slats must leave free, measured over its plate or its clear size."""

    kind: Literal[
        "socket", "switch", "data", "thermostat", "vent", "radiator", "window", "door", "bracket"
    ] = Field(description="What it is; cables are expected straight up, down and across from the first four.")
    left_mm: Position
    bottom_mm: Position
    width_mm: Mm
    height_mm: Mm
    clearance_mm: Mm = Field(Fraction(0), description="In mm; left free all round for it to come off.")
    architrave_mm: Mm = Field(
        Fraction(0), description="In mm; width of the architrave round a door or window."
    )
    architrave_projection_mm: Mm = Fraction(0)
    plate: Literal["pocket", "board", "slats"] = Field(
        "pocket",
        description="Where the plate sits: on the wall in a pocket, on the board, or on a pad level with "
        "the slats.",
    )
    plate_lab_d65: tuple[Lightness, Chroma, Chroma] | None = Field(
        None, description="Colour of the plate as CIELAB under D65; left out: white."
    )
    leaf: Leaf | None = Field(None, description="A door's leaf that folds back against the slats.")


class Zone(Value):
    """A region with a meaning; raking_light is where light grazes the face: no slat is loose there."""

    kind: Literal["hidden", "no_drill", "access", "raking_light"] = Field(
        description="hidden: behind furniture, where joints may show; no_drill: no fixing points; access: "
        "under a panel that comes off; raking_light: no loose slats."
    )
    left_mm: Position
    bottom_mm: Position
    width_mm: Mm
    height_mm: Mm


class NextWall(Value):
    """The wall round the right-hand corner of the one before it; coordinates restart at its left end."""

    turns: Literal["inside", "outside"] = Field(description="Round which kind of corner it goes on.")
    wall: Wall = Field(description="The wall as measured.")
    openings: tuple[Opening, ...] = Field((), max_length=500, description="Its openings.")
    zones: tuple[Zone, ...] = Field((), max_length=500, description="Its zones.")
