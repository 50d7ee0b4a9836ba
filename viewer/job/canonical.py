"""Canonical JSON after RFC 8785 (JSON Canonicalization Scheme): the bytes that are hashed and signed.

Rules of the RFC: members sorted by UTF-16 code units (section 3.2.3), no white space, numbers as ECMAScript
writes an IEEE 754 double (section 3.2.2.3), only the escapes of section 3.2.2.2.
"""

import hashlib
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

_SHORT_ESCAPES = {
    "\b": "\\b",
    "\t": "\\t",
    "\n": "\\n",
    "\f": "\\f",
    "\r": "\\r",
    '"': '\\"',
    "\\": "\\\\",
}
_ORDINARY = re.compile(r"[ !#-\[\]-~]*")
"""Printable ASCII without quotation mark and backslash: nothing to escape."""


def _text(value: str) -> str:
    if _ORDINARY.fullmatch(value):  # most texts, and far faster than looking at each sign
        return '"' + value + '"'
    if any("\ud800" <= sign <= "\udfff" for sign in value):
        raise ValueError("a lone surrogate has no canonical form (RFC 8785, section 3.2.2.2)")
    escaped = (_SHORT_ESCAPES.get(sign) or (f"\\u{ord(sign):04x}" if sign < " " else sign) for sign in value)
    return f'"{"".join(escaped)}"'


def number(value: int | float) -> str:
    """A finite number as ECMAScript's ``Number::toString`` writes it (ECMA-262, section 6.1.6.1.20)."""
    as_double = float(value)
    if not math.isfinite(as_double):
        raise ValueError("NaN and infinity have no canonical form (RFC 8785, section 3.2.2.3)")
    if isinstance(value, int) and as_double != value:
        raise ValueError(f"{value} is not exactly a double; write it as text")
    if as_double == 0:
        return "0"
    sign = "-" if as_double < 0 else ""
    # repr gives the shortest digits that round-trip, as ECMAScript does; only the layout differs
    mantissa, _, exponent = f"{abs(as_double)!r}".partition("e")
    whole, _, fraction = mantissa.partition(".")
    fraction = "" if fraction == "0" else fraction
    point = len(whole) + int(exponent or 0)
    digits = (whole + fraction).lstrip("0")
    point -= len(whole + fraction) - len(digits)
    digits = digits.rstrip("0")
    count = len(digits)
    if count <= point <= 21:
        return sign + digits + "0" * (point - count)
    if 0 < point <= 21:
        return f"{sign}{digits[:point]}.{digits[point:]}"
    if -6 < point <= 0:
        return f"{sign}0.{'0' * -point}{digits}"
    tail = f".{digits[1:]}" if count > 1 else ""
    return f"{sign}{digits[0]}{tail}e{point - 1:+d}"


def _utf16(key: str) -> bytes:
    return key.encode("utf-16-be", "surrogatepass")


def _pieces(value: Any) -> Iterator[str]:
    if value is None:
        yield "null"
    elif isinstance(value, bool):
        yield "true" if value else "false"
    elif isinstance(value, str):
        yield _text(value)
    elif isinstance(value, int | float):
        yield number(value)
    elif isinstance(value, Mapping):
        yield "{"
        for place, key in enumerate(sorted(value, key=_utf16)):
            yield ("," if place else "") + _text(key) + ":"
            yield from _pieces(value[key])
        yield "}"
    elif isinstance(value, Sequence):
        yield "["
        for place, item in enumerate(value):
            yield "," if place else ""
            yield from _pieces(item)
        yield "]"
    else:
        raise TypeError(f"{type(value).__name__} is not JSON")


def canonical(value: Any) -> bytes:
    """The canonical UTF-8 bytes of plain JSON data. Raises ``ValueError`` or ``TypeError`` if it has none."""
    return "".join(_pieces(value)).encode()


def digest(value: Any) -> str:
    """SHA-256 of the canonical bytes, in hexadecimal; the first eight signs are a job's version on paper."""
    return hashlib.sha256(canonical(value)).hexdigest()
