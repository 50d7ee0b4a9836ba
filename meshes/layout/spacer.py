"""The spacer in the hand: which thickness to use, what it drifts over a run, and where to measure again."""

from fractions import Fraction
from math import ceil, floor, isqrt

from meshes.layout.spacing import Slats

SPACER_MATCH_MM = Fraction(1, 20)
"""A spacer this near to the gap is that gap's spacer."""

DRIFT_SHARE = Fraction(1, 10)
"""Measure from the datum again before drift reaches this share of the gap (common practice)."""

RESET_STEP, RESET_MOST = 5, 50
"""Measure again after a multiple of five slats, as the rod is marked."""

SPACER_STEP_MM = Fraction(1, 2)
STEPS_TRIED, STEPS_MOST = 5, 12


def spacer_for(gap: Fraction, slats: Slats) -> Fraction:
    """The measured spacer to use: an owned one that is near enough, else the gap to 0.1 mm."""
    near = min(slats.spacers_mm, key=lambda spacer: abs(spacer - gap), default=None)
    if near is not None and abs(near - gap) <= SPACER_MATCH_MM:
        return near
    return Fraction(round(gap * 10), 10)


def drift(slats: Slats, gap: Fraction, spacer: Fraction, count: int) -> Fraction:
    """What the last slat may be off when nothing is measured on the way [mm], to 0.001.

    The spacer errs alike in every gap, so it adds up; the slats' widths scatter, so they grow by the root.
    """
    scatter = Fraction(isqrt(count * 1_000_000), 1000) * slats.width_tolerance_mm
    return max(0, count - 1) * (abs(gap - spacer) + slats.spacer_tolerance_mm) + scatter


def reset_every(slats: Slats, gap: Fraction, spacer: Fraction) -> int:
    """After how many slats to measure from the datum again."""
    every = RESET_STEP
    while every < RESET_MOST and drift(slats, gap, spacer, every + RESET_STEP) <= DRIFT_SHARE * gap:
        every += RESET_STEP
    return every


def spacers_to_try(slats: Slats) -> list[Fraction]:
    """Those owned, and half-millimetre steps around the wish or in the allowed range; nearest first."""
    wish = slats.gap_mm
    if slats.gap_range_mm is None:
        middle = round(wish / SPACER_STEP_MM)
        around = range(middle - STEPS_TRIED // 2, middle + STEPS_TRIED // 2 + 1)
    else:
        low, high = sorted(slats.gap_range_mm)
        around = range(ceil(low / SPACER_STEP_MM), floor(high / SPACER_STEP_MM) + 1)
    steps = sorted((step * SPACER_STEP_MM for step in around if step > 0), key=lambda gap: abs(gap - wish))
    tried = dict.fromkeys([*slats.spacers_mm, *steps[:STEPS_MOST]])
    return sorted(tried, key=lambda gap: (abs(gap - wish), gap))
