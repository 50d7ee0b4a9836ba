"""Lengths and numbers in sentences."""

from fractions import Fraction

import pytest

from meshes.layout.words import counted, mm, numbered, signed


@pytest.mark.parametrize(
    ("value", "text"),
    [(Fraction(14), "14"), (Fraction(1008, 71), "14.2"), (Fraction(-1, 3), "-0.3"), (Fraction(1, 100), "0")],
)
def test_a_length_is_rounded_once_to_a_tenth(value: Fraction, text: str) -> None:
    assert mm(value) == text


def test_a_difference_has_its_sign() -> None:
    assert [signed(Fraction(step)) for step in (2, 0, -2)] == ["+2", "±0", "−2"]
    assert signed(Fraction(1, 100)) == "±0"


def test_counts_agree_with_their_word() -> None:
    assert [counted(count, "slat", "slats") for count in (1, 2)] == ["1 slat", "2 slats"]


@pytest.mark.parametrize(
    ("numbers", "text"),
    [
        ([4], "Slat 4"),
        ([9, 4], "Slats 4 and 9"),
        ([4, 5], "Slats 4 and 5"),
        ([4, 5, 6], "Slats 4 to 6"),
        ([1, 4, 5, 6, 7, 9, 4], "Slats 1, 4 to 7 and 9"),
    ],
)
def test_numbers_are_listed_with_runs_shortened(numbers: list[int], text: str) -> None:
    assert numbered("Slat", "Slats", numbers) == text
