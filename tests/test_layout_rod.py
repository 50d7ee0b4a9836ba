"""The rod: cumulative marks from the datum, never sums of rounded numbers; inches."""

from fractions import Fraction
from itertools import pairwise

import pytest
from laid_out import WORKED, placed

from meshes.layout.report import as_json, rod_json
from meshes.layout.rod import inches, panel_rod, wall_rod


def test_every_mark_counts_from_the_datum() -> None:
    result = placed(WORKED)
    marks = [mark for mark in wall_rod(result).marks if mark.kind == "slat"]
    assert [mark.at for mark in marks] == [12 + index * Fraction(4132, 71) for index in range(72)]


def test_printed_marks_are_rounded_once() -> None:
    """The last error stays within half of the last digit; steps of a rounded 58.197 would be off by 0.013."""
    result = placed(WORKED)
    printed = [mark["at_mm"] for mark in rod_json(wall_rod(result))["marks"] if mark["kind"] == "slat"]
    assert printed[-1] == 4144
    assert round(12 + 71 * 58.197, 3) == 4143.987


def test_from_the_right_the_rod_is_the_mirror() -> None:
    result = placed(WORKED, {"datum": "right"})
    rod = wall_rod(result)
    marks = [mark for mark in rod.marks if mark.kind == "slat"]
    assert (rod.datum, rod.length) == ("right", 4200)
    assert [mark.at for mark in marks] == [12 + index * Fraction(4132, 71) for index in range(72)]
    assert [mark.index for mark in marks] == list(range(71, -1, -1))


def test_every_fifth_slat_and_each_panel_edge_is_bold() -> None:
    result = placed(WORKED)
    marks = wall_rod(result).marks
    assert [mark.index for mark in marks if mark.kind == "slat" and mark.bold] == list(range(0, 72, 5))
    edges = [mark for mark in marks if mark.kind == "panel"]
    assert len(edges) == 2 * len(result.panels)
    assert all(mark.bold for mark in edges)


def test_a_panels_rod_starts_at_its_own_board() -> None:
    """The bridging slat overhangs the board's edge by half its width less half clearance and cloth: 20 mm."""
    result = placed(WORKED)
    rod = panel_rod(result, result.panels[1])
    slats = [mark for mark in rod.marks if mark.kind == "slat"]
    assert slats[0].at == -(22 + 1 + 1)
    assert {after.at - before.at for before, after in pairwise(slats)} == {Fraction(4132, 71)}
    assert [mark.at for mark in rod.marks if mark.kind == "panel"] == [0, result.panels[1].board.width]


@pytest.mark.parametrize(
    ("mm", "parts", "text"),
    [
        ("25.4", 16, "1"),
        ("0", 16, "0"),
        ("4.7625", 16, "3/16"),
        ("190.5", 16, "7 1/2"),
        ("100", 16, "3 15/16"),  # 3.937 in = 62.99/16
        ("100", 32, "3 15/16"),  # 125.98/32
        ("101", 32, "3 31/32"),  # 127.24/32
    ],
)
def test_inches(mm: str, parts: int, text: str) -> None:
    assert str(inches(Fraction(mm), parts)) == text


def test_a_rod_has_sixteenths_or_thirty_seconds() -> None:
    with pytest.raises(ValueError, match=r"10: a rod is marked to 1/16 or 1/32 of an inch"):
        inches(Fraction(10), 10)


def test_millimetres_and_inches_stand_side_by_side() -> None:
    report = as_json(placed(WORKED))
    (first, *_) = [mark for mark in report["rod"]["marks"] if mark["kind"] == "slat"]
    assert (first["at_mm"], first["at_in"]) == (12, "1/2")
    assert len(report["panel_rods"]) == len(report["panels"])


def test_level_slats_count_from_the_floor() -> None:
    result = placed({"height_mm": 400, "width_mm": 2000}, {"run": "level", "width_mm": 40, "gap_mm": 20})
    rod = wall_rod(result)
    assert (rod.datum, rod.length) == ("bottom", 400)
    assert [mark.at for mark in rod.marks if mark.kind == "slat"] == [60 * index for index in range(7)]


def test_a_job_may_ask_for_thirty_seconds() -> None:
    """101 mm are 3.9764 in: 127.24/32, nearest 3 31/32; to 1/16 that is 63.6/16, nearest 4."""
    slats = {"width_mm": 81, "gap_mm": 20}
    for parts, text in ((16, "4"), (32, "3 31/32")):
        report = as_json(placed({"width_mm": 1091}, {**slats, "rod_parts_of_inch": parts}))
        second = [mark for mark in report["rod"]["marks"] if mark["kind"] == "slat"][1]
        assert (second["at_mm"], second["at_in"]) == (101, text)


def test_a_mark_before_the_datum_has_a_minus_in_inches_too() -> None:
    result = placed(WORKED)
    first = panel_rod(result, result.panels[1]).marks[0]
    assert (first.at, first.inches) == (-24, "−15/16")  # 0.945 in are 15.1/16
