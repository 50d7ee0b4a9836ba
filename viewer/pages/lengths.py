"""Lengths as people type them: millimetres, or feet and inches with fractions."""

import re
from fractions import Fraction

from meshes.layout.rod import MM_PER_INCH

IMPERIAL = re.compile(r"['′’\"″”/⁄]|in$")
TYPOGRAPHIC = str.maketrans({"′": "'", "’": "'", "″": '"', "”": '"', "⁄": "/", "−": "-", ",": "."})
"""Signs that keyboards put in by themselves."""

_INCHES = re.compile(
    r"""^\s*(?:(?P<feet>\d+)\s*')?\s*
    (?:(?P<whole>\d+(?:\.\d+)?)?\s*-?\s*(?:(?P<top>\d+)\s*/\s*(?P<bottom>\d+))?\s*(?P<mark>"|''|in)?)?\s*$""",
    re.VERBOSE,
)

LONGEST = 40
"""Signs of a length; a number of thousands of digits is none, and Python refuses to read it."""


def is_imperial(typed: str) -> bool:
    """Whether feet, inches or a fraction were typed."""
    return IMPERIAL.search(typed.strip()) is not None


def length_mm(typed: str) -> Fraction | None:
    """Millimetres of what was typed, exactly; None where it is no length.

    A bare number is millimetres; a foot or inch mark, or a fraction, makes it inches.
    """
    text = typed.strip().translate(TYPOGRAPHIC).removesuffix("mm").strip()
    if len(text) > LONGEST:
        return None
    if re.fullmatch(r"-?\d+(\.\d+)?", text):
        return Fraction(text)
    sign = -1 if text.startswith("-") else 1
    found = _INCHES.match(text.removeprefix("-"))
    if not found or not any(found.group("feet", "whole", "top")):
        return None
    if found["bottom"] and int(found["bottom"]) == 0:
        return None
    inches = Fraction(int(found["feet"] or 0) * 12) + Fraction(found["whole"] or 0)
    if found["top"]:
        inches += Fraction(int(found["top"]), int(found["bottom"]))
    return sign * inches * MM_PER_INCH
