"""RFC 8785 (JSON Canonicalization Scheme): numbers, order, escapes."""

import json
import math
import struct

import pytest
from hypothesis import given
from hypothesis import strategies as st

from viewer.job.canonical import canonical, digest, number

# RFC 8785, appendix B "Number Serialization Samples", written down from memory [M]: the RFC's text was not at
# hand. The pairs are IEEE 754 bit patterns and ECMAScript's decimal text, and node agrees with each.
SAMPLES = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]


@pytest.mark.parametrize(("bits", "text"), SAMPLES)
def test_numbers_of_rfc_8785_appendix_b(bits: str, text: str) -> None:
    (value,) = struct.unpack(">d", bytes.fromhex(bits))
    assert number(value) == text


def test_members_are_sorted_by_utf16_code_units() -> None:
    # RFC 8785, section 3.2.3, example as remembered [M]: the emoji (a surrogate pair) sorts before U+FB33
    data = {"€": 1, "\r": 2, "\ufb33": 3, "1": 4, "😀": 5, "\x80": 6, "ö": 7}
    assert list(json.loads(canonical(data))) == ["\r", "1", "\x80", "ö", "€", "😀", "\ufb33"]


def test_only_the_rfcs_escapes_are_used() -> None:
    # RFC 8785, section 3.2.2.2: two-letter escapes where JSON has them, \u00xx lower case below U+0020
    assert canonical('€$\x0f\nA\'B"\\\\"/') == '"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"'.encode()


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, 2**53 + 1])
def test_numbers_without_a_canonical_form_are_refused(bad: float) -> None:
    with pytest.raises(ValueError, match=r"canonical form|not exactly a double"):
        canonical([bad])


def test_a_lone_surrogate_is_refused() -> None:
    with pytest.raises(ValueError, match="lone surrogate"):
        canonical({"a": "\ud800"})


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_a_number_reads_back_as_the_same_double(value: float) -> None:
    assert float(number(value)) == value


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53), 2**53) | st.text() | st.floats(-1e300, 1e300),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=20,
)


@given(JSON)
def test_canonical_bytes_are_a_fixed_point(data: object) -> None:
    once = canonical(data)
    # JSON's numbers are doubles (RFC 8785, section 3.2.2.3): read them as such
    assert canonical(json.loads(once, parse_int=float)) == once


def test_the_digest_does_not_depend_on_order_or_spelling_of_numbers() -> None:
    assert digest(json.loads('{"b": 2.0, "a": 1e0}')) == digest({"a": 1, "b": 2})
