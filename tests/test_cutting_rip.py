"""Ripping: yields of real sections, which faces show, and that no square millimetre of a section is lost."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshes.cutting.rip import refusal, rip, rips, sawn_limits, yield_at_lower_limit
from meshes.cutting.stock import Stock


def stock(a: float, b: float, **fields: object) -> Stock:
    return Stock.model_validate({"section_mm": [a, b], **fields})


def test_a_38_by_63_stud_gives_four_slats_of_about_12_mm() -> None:
    """Common practice: four strips of about 12 mm out of a 38 x 63 mm stud, 36 mm wide after planing."""
    best, other = rips(width=Fraction(36), depth=Fraction(12), stock=stock(38, 63))
    assert (best.across, best.along, best.count) == (38, 63, 4)
    assert other.count < 4
    # the thickest slat of which the section still gives four: (63 - 3 * 3) / 4 - 1
    assert (
        rip(
            across=Fraction(38),
            along=Fraction(63),
            width=Fraction(36),
            depth=Fraction(25, 2),
            stock=stock(38, 63),
        ).count
        == 4
    )
    assert (
        rip(
            across=Fraction(38),
            along=Fraction(63),
            width=Fraction(36),
            depth=Fraction(13),
            stock=stock(38, 63),
        ).count
        == 3
    )


@pytest.mark.parametrize(
    ("section", "slat", "count", "columns", "rows"),
    [
        ((44, 94), (40, 16), 4, 1, 4),  # 4 * 17 + 3 * 3 = 77 <= 94; turned: 2 columns of 42, 2 rows of 17
        ((94, 44), (40, 16), 4, 1, 4),  # the order of the section's sizes does not matter
        ((47, 100), (42, 16), 5, 1, 5),  # 5 * 17 + 4 * 3 = 97 <= 100; the width pass takes 44 of 47
        ((44, 44), (42, 42), 1, 1, 1),
        (
            (44, 94),
            (43, 16),
            4,
            2,
            2,
        ),  # 43 + 2 > 44: only 2 x 2 with the section turned: 2 * 45 + 3 = 93 <= 94
        ((44, 80), (43, 16), 2, 1, 2),
        ((41, 94), (40, 92), 0, 0, 0),  # 40 + 2 > 41
    ],
)
def test_yield_by_hand(
    section: tuple[int, int], slat: tuple[int, int], count: int, columns: int, rows: int
) -> None:
    best, _ = rips(width=Fraction(slat[0]), depth=Fraction(slat[1]), stock=stock(*section))
    assert (best.count, best.columns, best.rows) == (count, columns, rows)


def test_the_width_pass_needs_two_millimetres_and_without_planing_none() -> None:
    exact = Fraction(40)
    assert rips(width=exact, depth=Fraction(16), stock=stock(41.9, 20))[0].count == 0
    assert rips(width=exact, depth=Fraction(16), stock=stock(42, 20))[0].count == 1
    assert rips(width=exact, depth=Fraction(16), stock=stock(40, 16, planing_mm=0))[0].count == 1


def test_rounded_arrises_are_turned_to_the_wall() -> None:
    best, _ = rips(width=Fraction(36), depth=Fraction(12), stock=stock(38, 63))
    assert [slat.back for slat in best.slats] == ["section", "ripped", "ripped", "ripped"]
    assert {slat.front for slat in best.slats} == {"ripped"}
    assert best.front_rounding == 0


def test_both_outer_faces_turn_back_when_nothing_is_left() -> None:
    full = rip(
        across=Fraction(38), along=Fraction(61), width=Fraction(36), depth=Fraction(12), stock=stock(38, 61)
    )
    assert [slat.back for slat in full.slats] == ["section", "ripped", "ripped", "section"]
    assert full.rests == ()


def test_a_single_slat_from_a_rounded_section_shows_what_planing_leaves_of_the_rounding() -> None:
    one = rip(
        across=Fraction(44), along=Fraction(17), width=Fraction(42), depth=Fraction(16), stock=stock(44, 17)
    )
    assert (one.count, one.slats[0].front, one.front_rounding) == (1, "section", 2)
    sharp = stock(44, 17, arris_radius_mm=0)
    assert (
        rip(
            across=Fraction(44), along=Fraction(17), width=Fraction(42), depth=Fraction(16), stock=sharp
        ).front_rounding
        == 0
    )


def test_what_is_left_after_its_own_kerf() -> None:
    best, _ = rips(width=Fraction(40), depth=Fraction(16), stock=stock(44, 94))
    # 94 - 4 * 17 - 4 * 3 = 14 along; across 44 - 42 = 2 is all sawdust
    assert [(rest.width, rest.depth, rest.count) for rest in best.rests] == [(42, 14, 1)]


def test_sawn_deviations_of_en_336() -> None:
    assert sawn_limits(Fraction(63)) == (62, 66)
    assert sawn_limits(Fraction(150)) == (148, 154)


def test_a_section_at_its_lower_limit_may_give_fewer() -> None:
    tight = stock(38, 61)
    best, _ = rips(width=Fraction(36), depth=Fraction(12), stock=tight)
    assert best.count == 4
    assert yield_at_lower_limit(best, width=Fraction(36), depth=Fraction(12), stock=tight) == 0


def test_the_refusal_names_section_slat_and_sawn_size() -> None:
    assert refusal(width=Fraction(40), depth=Fraction(16), stock=stock(41, 94)) == (
        "a section of 41 x 94 mm gives no slat of 40 x 16 mm: before planing the slat is 42 x 17 mm; "
        "take a larger section or a smaller slat"
    )


size = st.fractions(min_value=5, max_value=300, max_denominator=8)


@given(
    a=size,
    b=size,
    width=st.fractions(min_value=3, max_value=120, max_denominator=8),
    depth=st.fractions(min_value=3, max_value=60, max_denominator=8),
    kerf=st.fractions(min_value=0, max_value=6, max_denominator=4),
    planing=st.fractions(min_value=0, max_value=3, max_denominator=4),
)
def test_slats_kerf_and_rest_are_the_section_exactly(
    a: Fraction, b: Fraction, width: Fraction, depth: Fraction, kerf: Fraction, planing: Fraction
) -> None:
    given_stock = Stock(section_mm=(a, b), kerf_mm=kerf, planing_mm=planing)
    for one in rips(width=width, depth=depth, stock=given_stock):
        sawn_slats = one.count * one.sawn_width * one.sawn_depth
        assert sawn_slats + one.kerf_area + one.rest_area == a * b
        assert len(one.slats) == one.count
    best, other = rips(width=width, depth=depth, stock=given_stock)
    assert best.count >= other.count
