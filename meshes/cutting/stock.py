"""What can be bought to rip slats from (job file section ``stock``)."""

from fractions import Fraction
from typing import Annotated

from pydantic import Field

from meshes.layout.lengths import Value, Within

Section = Annotated[Fraction, Within(5, 500)]
StockLength = Annotated[Fraction, Within(200, 14_000)]
Kerf = Annotated[Fraction, Within(0, 20)]


class Stock(Value):
    """Sawn section, the lengths on sale, saw kerf, and what planing takes off each planed face; mm."""

    section_mm: tuple[Section, Section] = (Fraction(47), Fraction(100))
    lengths_mm: Annotated[tuple[StockLength, ...], Field(min_length=1)] = tuple(
        Fraction(length) for length in (2400, 3000, 3600, 4200, 4800)
    )
    kerf_mm: Kerf = Fraction(3)
    planing_mm: Kerf = Fraction(1)
