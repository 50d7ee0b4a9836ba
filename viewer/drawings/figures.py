"""Lengths as a drawing prints them."""

from fractions import Fraction

TENTH = Fraction(1, 10)


def figure(length_mm: Fraction) -> str:
    """A length to a tenth of a millimetre, rounded once from the exact value; no point in whole numbers."""
    tenths = round(length_mm / TENTH)
    whole, rest = divmod(abs(tenths), 10)
    sign = "−" if tenths < 0 else ""
    return f"{sign}{whole}.{rest}" if rest else f"{sign}{whole}"
