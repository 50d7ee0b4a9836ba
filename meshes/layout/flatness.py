"""How even the wall is, and what has to be packed out.

Three rows of three points, measured from a plumb string line. Between the points the wall is taken as
straight, so the most that a straightedge of 2 m shows over a line of three points L apart is::

      a        d = b - (a + c)/2
    --+--._    shown over 2 m: |d| 2000/L, at most |d|
          `+--.___
           b      `--+-- c
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.measured import points
from meshes.layout.survey import Wall
from meshes.layout.words import mm

PACKERS_ABOVE_MM = Fraction(3)
BATTENS_ABOVE_MM = Fraction(5)
"""Under a 2 m straightedge: above the first packers, above the second battens (common practice)."""

STRAIGHTEDGE_MM = Fraction(2000)

LINES = (
    *(((row, 0), (row, 1), (row, 2)) for row in range(3)),
    *(((0, column), (1, column), (2, column)) for column in range(3)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flatness:
    """How even the wall is: the most that a 2 m straightedge shows, and the packing at each point [mm]."""

    under_2_m: Fraction
    treatment: str
    packers: tuple[tuple[Fraction, Fraction, Fraction], ...]


def flatness_of(wall: Wall) -> Flatness | None:
    """What the 3 x 3 survey says; None when it was not made. Packing counts from the high point."""
    face = wall.flatness_mm
    if face is None:
        return None
    spans = {True: max(points(wall.width_mm)), False: max(points(wall.height_mm))}
    shown = Fraction(0)
    for first, middle, last in LINES:
        length = spans[first[0] == last[0]]
        a, b, c = (face[row][column] for row, column in (first, middle, last))
        shown = max(shown, abs(b - (a + c) / 2) * min(Fraction(1), STRAIGHTEDGE_MM / length))
    treatment = "none"
    if shown > BATTENS_ABOVE_MM:
        treatment = "battens"
    elif shown > PACKERS_ABOVE_MM:
        treatment = "packers"
    high = max(max(row) for row in face)
    return Flatness(
        under_2_m=shown,
        treatment=treatment,
        packers=tuple((high - row[0], high - row[1], high - row[2]) for row in face),
    )


def flatness_words(flatness: Flatness | None) -> list[str]:
    """What to do about it; nothing when the wall is even enough."""
    if flatness is None or flatness.treatment == "none":
        return []
    limit = PACKERS_ABOVE_MM if flatness.treatment == "packers" else BATTENS_ABOVE_MM
    deepest = max(max(row) for row in flatness.packers)
    return [
        f"The wall is {mm(flatness.under_2_m)} mm out of flat in 2 m, over {mm(limit)} (common practice): "
        f"set {flatness.treatment} of up to {mm(deepest)} mm, counted from its high point."
    ]
