"""What can be bought to rip slats from (job file section ``stock``).

Figures marked (cp) are common practice without a published source; every one of them is a field here, so that
a maker who has measured better sets it in the job file.
"""

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import Field

from meshes.layout.lengths import Value, Within

Section = Annotated[Fraction, Within(5, 500)]
StockLength = Annotated[Fraction, Within(200, 14_000)]
Kerf = Annotated[Fraction, Within(0, 20)]
Trim = Annotated[Fraction, Within(0, 500)]
Radius = Annotated[Fraction, Within(0, 20)]
Share = Annotated[Fraction, Within(0, 0.6, "as a share of 1")]
Grade = Literal["joinery", "construction"]

CULL_RATE: dict[Grade, Fraction] = {
    # (cp) about 5 % of strips ripped from joinery grade are not fit to be seen
    "joinery": Fraction(1, 20),
    # (cp) 15-20 % of strips ripped from construction softwood; the middle of it
    "construction": Fraction(7, 40),
}


class Stock(Value):
    """Sawn section, the lengths on sale, saw kerf, and what planing takes off each planed face; mm."""

    section_mm: tuple[Section, Section] = (Fraction(47), Fraction(100))
    lengths_mm: Annotated[tuple[StockLength, ...], Field(min_length=1, max_length=100)] = tuple(
        Fraction(length) for length in (2400, 3000, 3600, 4200, 4800)
    )
    kerf_mm: Kerf = Fraction(3)
    planing_mm: Kerf = Fraction(1)
    width_allowance_mm: Trim = Field(
        Fraction(2),
        description="In mm; how much wider than the slat the section must be for the width pass, both edges "
        "together (common practice); without planing nothing is asked for.",
    )
    arris_radius_mm: Radius = Field(
        Fraction(3),
        description="In mm; rounding of the section's long edges (common practice for studs); 0 if sharp.",
    )
    end_trim_mm: Trim = Field(
        Fraction(50),
        description="In mm; lost at each end of a section to the planer's snipe and to end checks, its own "
        "cut included (common practice: 50 to 100).",
    )
    grade: Grade = Field("joinery", description="Sets the share of strips sorted out after ripping.")
    cull_rate: Share | None = Field(
        None,
        description="share of strips sorted out; unset: 0.05 joinery, 0.175 construction (common practice), "
        "or what the finish's sorting by knots takes, if that is more",
    )
    spares: Annotated[int, Field(ge=0, le=100)] = Field(
        2, description="Whole slats kept for repairs (common practice: 2 to 4)."
    )
    keep_strip_mm: StockLength = Field(
        Fraction(300), description="In mm; shortest offcut of a strip worth keeping (common practice)."
    )
    keep_depth_mm: Kerf = Field(
        Fraction(8), description="In mm; thinnest rest of a section worth keeping (common practice)."
    )
    boards_may_turn: bool = Field(
        True,
        description="false where face grain or a marked direction keeps every board upright in the sheet",
    )
    keep_board_mm: StockLength = Field(
        Fraction(200), description="In mm; shortest side of a sheet offcut worth keeping (common practice)."
    )

    @property
    def culled(self) -> Fraction:
        """The share of strips sorted out after ripping: what was set, or what the grade suggests."""
        return CULL_RATE[self.grade] if self.cull_rate is None else self.cull_rate
