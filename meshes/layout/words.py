"""Lengths in sentences for people: rounded once, and only here."""

from fractions import Fraction


def mm(value: Fraction) -> str:
    """A length, rounded once to 0.1 mm; whole numbers without a point."""
    tenths = round(value * 10)
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def signed(value: Fraction) -> str:
    """A difference with its sign, rounded once to 0.1 mm."""
    return f"{'+' if value > 0 else '−' if value < 0 else '±'}{mm(abs(value))}"


def counted(count: int, one: str, many: str) -> str:
    """``1 slat``, ``2 slats``."""
    return f"{count} {one if count == 1 else many}"
