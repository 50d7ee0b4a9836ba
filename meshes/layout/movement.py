"""How slats move with moisture: does the gap stay open, and what does a slat ripped wet become when dry.

Wood Handbook (FPL-GTR-190), chapter 13: equation 13-2 with the coefficients of table 13-5 for moisture
contents of 6 to 14 %; equation 13-3 with the total shrinkages of table 4-3 outside of that.
"""

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

Species = Literal[
    "unknown",
    "red oak",
    "white oak",
    "white ash",
    "American beech",
    "paper birch",
    "black walnut",
    "red maple",
    "white fir",
    "eastern white pine",
    "ponderosa pine",
    "Sitka spruce",
]

TANGENTIAL_PER_PERCENT: dict[str, Fraction] = {
    "red oak": Fraction("0.00369"),
    "white oak": Fraction("0.00365"),
    "white ash": Fraction("0.00274"),
    "American beech": Fraction("0.00431"),
    "paper birch": Fraction("0.00304"),
    "black walnut": Fraction("0.00274"),
    "red maple": Fraction("0.00289"),
    "white fir": Fraction("0.00245"),
    # the three that follow were written down from memory of the same table
    "eastern white pine": Fraction("0.00212"),
    "ponderosa pine": Fraction("0.00216"),
    "Sitka spruce": Fraction("0.00263"),
}
"""C_T of table 13-5: change of a flat-sawn width per 1 % moisture content, as a share of the width."""

TOTAL_TANGENTIAL: dict[str, Fraction] = {
    "white oak": Fraction("0.105"),
    "white ash": Fraction("0.078"),
    "American beech": Fraction("0.119"),
    "black walnut": Fraction("0.078"),
    "white fir": Fraction("0.070"),
}
"""S_T of table 4-3: tangential shrinkage from green to oven-dry, as a share."""

COEFFICIENTS_HOLD_PERCENT = (Fraction(6), Fraction(14))

BOARD_PER_PERCENT = Fraction("0.0004")
"""Growth of MDF in its plane per 1 % moisture content: 0.4 mm/m (from memory, common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """Between the driest and the dampest season, from the set-out as made [mm]."""

    species: str
    slat_mm: Fraction
    narrowest_gap_mm: Fraction
    widest_gap_mm: Fraction
    panel_mm: Fraction
    end_clearance_mm: Fraction


def coefficient(species: str) -> Fraction:
    """C_T of a species; of ``unknown`` the largest, so that the answer errs towards more movement."""
    return TANGENTIAL_PER_PERCENT.get(species) or max(TANGENTIAL_PER_PERCENT.values())


def change_mm(
    size_mm: Fraction, per_percent: Fraction, from_percent: Fraction, to_percent: Fraction
) -> Fraction:
    """Equation 13-2: D_I C_T (M_F - M_I) [mm]; valid between 6 and 14 % moisture content."""
    return size_mm * per_percent * (to_percent - from_percent)


def change_by_shrinkage_mm(
    size_mm: Fraction, total_shrinkage: Fraction, from_percent: Fraction, to_percent: Fraction
) -> Fraction:
    """Equation 13-3: D_I (M_F - M_I) / (30/S_T - 30 + M_I) [mm], from fibre saturation at 30 % to oven-dry.

    ``total_shrinkage`` is S_T as a share (0.078, not 7.8 %). Above 30 % nothing moves.
    """
    saturated = Fraction(30)
    start, end = min(from_percent, saturated), min(to_percent, saturated)
    return size_mm * (end - start) / (saturated / total_shrinkage - saturated + start)


def dried_width_mm(
    width_mm: Fraction, species: str, from_percent: Fraction, to_percent: Fraction
) -> Fraction:
    """What a slat ripped at one moisture content becomes at another [mm].

    Species whose total shrinkage is not tabled here get the one that makes equation 13-3 as steep at 10 % as
    their coefficient says.
    """
    low, high = COEFFICIENTS_HOLD_PERCENT
    per_percent = coefficient(species)
    if low <= from_percent <= high and low <= to_percent <= high:
        return width_mm + change_mm(width_mm, per_percent, from_percent, to_percent)
    # 1 / (30/S - 30 + 10) = C, hence S = 30 / (1/C + 20)
    total = TOTAL_TANGENTIAL.get(species) or 30 / (1 / per_percent + 20)
    return width_mm + change_by_shrinkage_mm(width_mm, total, from_percent, to_percent)


def movement_of(
    *,
    slat_width: Fraction,
    gap: Fraction,
    pitch: Fraction,
    panel_width: Fraction,
    species: str,
    seasons_percent: tuple[Fraction, Fraction],
) -> Movement:
    """Seasonal movement of a set-out made half way between the two seasons' moisture contents.

    Slats are pinned along their middle and move about it; boards move as wholes, so between two slats of one
    panel the gap changes by the slats' movement less the board's over one pitch.
    """
    dry, damp = min(seasons_percent), max(seasons_percent)
    half = (damp - dry) / 2
    slat_half = slat_width * coefficient(species) * half
    board_half = pitch * BOARD_PER_PERCENT * half
    panel = panel_width * BOARD_PER_PERCENT * (damp - dry)
    return Movement(
        species=species,
        slat_mm=2 * slat_half,
        narrowest_gap_mm=gap - slat_half + board_half,
        widest_gap_mm=gap + slat_half - board_half,
        panel_mm=panel,
        end_clearance_mm=panel / 2 + slat_half / 2,
    )
