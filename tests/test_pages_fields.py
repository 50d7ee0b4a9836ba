"""Form fields: what was typed comes back, lengths go into the job exactly, problems at their field."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from viewer.pages.fields import TYPED, Field, document_with, fields_of
from viewer.pages.lengths import length_mm
from viewer.pages.places import put_at, value_at

# 25.4 mm to the inch exactly: international yard and pound agreement of 1959
INCH = Fraction(254, 10)

WIDTH = Field(path="wall.width_mm", label="Width", unit="mm")
KIND = Field(path="openings[0].kind", label="What", choices=(("socket", "Socket"),))


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("2400", Fraction(2400)),
        (" 2400 mm ", Fraction(2400)),
        ("12,5", Fraction(25, 2)),
        ("7' 10 1/2\"", (7 * 12 + Fraction(21, 2)) * INCH),
        ("7′ 10½".replace("½", " 1/2") + "″", (7 * 12 + Fraction(21, 2)) * INCH),
        ("7'", 84 * INCH),
        ('94 1/2"', Fraction(189, 2) * INCH),
        ('1/16"', Fraction(1, 16) * INCH),
        ("94.5 in", Fraction(189, 2) * INCH),
        ("3/4", Fraction(3, 4) * INCH),
        ("-40", Fraction(-40)),
    ],
)
def test_lengths_are_read_exactly(typed: str, expected: Fraction) -> None:
    assert length_mm(typed) == expected


@pytest.mark.parametrize(
    "typed", ["", "about 2 m", "12,5o", "7' 10 1/0\"", "1/2/3", "'", '"', "2400 cm", "1e5"]
)
def test_what_is_no_length_is_none(typed: str) -> None:
    assert length_mm(typed) is None


@given(
    feet=st.integers(0, 40),
    inches=st.integers(0, 11),
    sixteenths=st.integers(1, 15),
)
def test_feet_inches_and_sixteenths_add_up(feet: int, inches: int, sixteenths: int) -> None:
    expected = (feet * 12 + inches + Fraction(sixteenths, 16)) * INCH
    assert length_mm(f"{feet}' {inches} {sixteenths}/16\"") == expected


def test_inches_are_kept_as_typed_beside_their_millimetres() -> None:
    made = document_with({"wall": {"width_mm": 4200}}, [WIDTH], {"wall.width_mm": "7' 10 1/2\""})
    assert made["wall"]["width_mm"] == 2400.3
    assert made[TYPED] == {"wall.width_mm": "7' 10 1/2\""}
    (drawn,), left = fields_of(made, [WIDTH], {}, [])
    assert (drawn["value"], drawn["mm"], left) == ("7' 10 1/2\"", "2400.3 mm", [])


def test_millimetres_need_no_note_and_take_an_old_one_away() -> None:
    before = {"wall": {"width_mm": 2400.3}, TYPED: {"wall.width_mm": "7' 10 1/2\""}}
    made = document_with(before, [WIDTH], {"wall.width_mm": "2400"})
    assert made == {"wall": {"width_mm": 2400}}
    assert before[TYPED], "the document that was given is left alone"


def test_what_is_no_length_stays_as_typed_for_the_check_to_refuse() -> None:
    made = document_with({}, [WIDTH], {"wall.width_mm": "about four"})
    assert made == {"wall": {"width_mm": "about four"}}


def test_problems_stand_at_their_field_and_the_rest_is_left() -> None:
    document = {"wall": {"width_mm": 5}, "openings": [{"kind": "sokcet"}]}
    problems = [("wall.width_mm", "too narrow"), ("openings[0].kind", "no kind"), ("slats", "missing")]
    drawn, left = fields_of(document, [WIDTH, KIND], {"wall.width_mm": "5"}, problems)
    assert [field["problems"] for field in drawn] == [["too narrow"], ["no kind"]]
    assert left == [("slats", "missing")]


def test_paths_reach_into_lists_and_make_objects_on_the_way() -> None:
    document: dict[str, object] = {"openings": [{"kind": "socket"}]}
    assert value_at(document, "openings[0].kind") == "socket"
    assert value_at(document, "openings[3].kind") is None
    put_at(document, "wall.left.trim_mm", 12)
    assert document["wall"] == {"left": {"trim_mm": 12}}
