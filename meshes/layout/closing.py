"""How a rhythm with a fixed gap closes at an end of the run, and the rules against slivers.

::

    |<- space ->|
    |<s>|<- g ->|===|<- g ->|===|     a closing slat s, ripped from a whole one: space = s + g
    |<-- e ---->|===|<- g ->|===|     a closing gap e
    |....|======|===|                 the space goes to the shadow gap or trim outside the run

The limits are common practice: adjustable here, in one place.
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.words import mm

LEAST_CLOSING_SHARE = Fraction(2, 3)
"""A closing slat is at least this share of a slat (common practice)."""

LEAST_CLOSING_MM = Fraction(25)
"""A closing slat is at least this wide, or it splits at the pins (common practice)."""

CLOSING_GAP_SHARE = (Fraction(6, 10), Fraction(14, 10))
"""A closing gap within these shares of the gap still reads as one (common practice)."""

TAPER_SHARE = Fraction(1, 3)
"""A visible taper up to this share of the gap is not noticed (common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunEnd:
    """One end of the run as the closing rules see it; mm. ``taper``: out of plumb, or out of level."""

    name: str
    open: bool
    shadow_gap: Fraction
    trim: Fraction
    taper: Fraction
    hides_taper: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """An end that works: the ripped slat in it (0: none), or what it adds to a shadow gap or trim."""

    slat: Fraction = Fraction(0)
    widens: Fraction = Fraction(0)


def closing_slat(space: Fraction, width: Fraction, gap: Fraction) -> Closed | str:
    """Close with a slat; the rule's sentence when it would be a sliver."""
    if space == 0:
        return Closed()
    slat = space - gap
    if slat <= 0:
        return (
            f"Closing slat: after a gap of {mm(gap)} mm none of the remaining {mm(space)} mm is left for it."
        )
    if slat < LEAST_CLOSING_SHARE * width:
        least = mm(LEAST_CLOSING_SHARE * width)
        return f"Closing slat of {mm(slat)} mm is under two thirds of a slat ({least} mm)."
    if slat < LEAST_CLOSING_MM:
        return f"Closing slat of {mm(slat)} mm is under {mm(LEAST_CLOSING_MM)} mm."
    return Closed(slat=slat)


def closing_gap(space: Fraction, gap: Fraction, end: RunEnd) -> Closed | str:
    """Close with a gap; the rule's sentence when it would not read as one."""
    low, high = CLOSING_GAP_SHARE
    if space == 0:
        return Closed()
    if space < low * gap:
        return f"Closing gap of {mm(space)} mm is under 0.6 of the gap ({mm(low * gap)} mm)."
    if space > high * gap:
        return f"Closing gap of {mm(space)} mm is over 1.4 of the gap ({mm(high * gap)} mm)."
    return visible_taper(gap, end) or Closed()


def visible_taper(gap: Fraction, end: RunEnd) -> str:
    """The rule's sentence when a gap next to an end out of true would show it; empty when it may stay."""
    if end.hides_taper or end.taper <= TAPER_SHARE * gap:
        return ""
    return (
        f"Visible taper of {mm(end.taper)} mm at the {end.name} end is over a third of the gap "
        f"({mm(TAPER_SHARE * gap)} mm)."
    )


def wider_shadow_gap(space: Fraction, gap: Fraction, end: RunEnd) -> Closed | str:
    """Give the remainder to the shadow gap; it must still read as a gap."""
    limit = CLOSING_GAP_SHARE[1] * gap
    if end.shadow_gap + space > limit:
        return (
            f"Shadow gap of {mm(end.shadow_gap + space)} mm at the {end.name} end is over 1.4 of the gap "
            f"({mm(limit)} mm)."
        )
    return Closed(widens=space)


def wider_trim(space: Fraction, width: Fraction, end: RunEnd) -> Closed | str:
    """Give the remainder to the trim; it must not be wider than a slat."""
    if end.trim + space > width:
        return (
            f"Trim of {mm(end.trim + space)} mm at the {end.name} end is wider than a slat ({mm(width)} mm)."
        )
    return Closed(widens=space)


def gap_in_range(gap: Fraction, allowed: tuple[Fraction, Fraction] | None) -> str:
    """The rule's sentence when a gap is not allowed; empty when it is."""
    if allowed is None or min(allowed) <= gap <= max(allowed):
        return ""
    return f"Gap of {mm(gap)} mm lies outside the allowed {mm(min(allowed))} to {mm(max(allowed))} mm."
