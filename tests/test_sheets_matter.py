"""Notices of the set-out in the words of the sheets: everything is counted from 1, lengths stay lengths."""

import pytest
from laid_out import job

from viewer.sheets.crosscuts import ranges
from viewer.sheets.matter import for_people

OPENINGS = job(openings=[{}, {"kind": "switch", "left_mm": 3000}])["openings"]


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        (
            "An edge of openings[0] (socket) lies over slat 25.",
            "An edge of the socket at 1480 mm lies over slat 26.",
        ),
        ("It clears openings[1].", "It clears the switch at 3000 mm."),
        ("Panels 0 to 3 and 5: heavy.", "Panels 1 to 4 and 6: heavy."),
        ("Slats 4, 9 and 11 keep a piece.", "Slats 5, 10 and 12 keep a piece."),
        ("slats 44 mm wide with a slat 44 mm deep", "slats 44 mm wide with a slat 44 mm deep"),
        ("closing slat of 30.9 mm", "closing slat of 30.9 mm"),
        ("only 1 of 2 loose slats find a place", "only 1 of 2 loose slats find a place"),
        ("zones[0] is wide", "zone 1 is wide"),
        ("openings[7] is not there", "openings[7] is not there"),
    ],
)
def test_notices_are_counted_from_one(said: str, shown: str) -> None:
    assert for_people(said, OPENINGS) == shown


def test_slats_of_a_length_are_listed_as_ranges() -> None:
    assert ranges([3, 1, 2, 7, 9, 10]) == ["1–3", "7", "9–10"]
    assert ranges([5, 5]) == ["5", "5"]
    assert ranges([]) == []
