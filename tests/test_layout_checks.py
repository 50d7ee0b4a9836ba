"""Contradictory surveys are named by path, all at once, with what would be accepted."""

from typing import Any

import pytest
from laid_out import StockOf, problems


def test_a_sound_wall_has_no_problems() -> None:
    assert problems(openings=[{}], stock=StockOf(2700)) == []


@pytest.mark.parametrize(
    ("given", "path", "message"),
    [
        (
            {"openings": [{"left_mm": 4300}]},
            "openings[0].left_mm",
            "4300 lies beyond the wall's 4200; give less than 4200",
        ),
        (
            {"openings": [{"left_mm": -5}]},
            "openings[0].left_mm",
            "-5 lies before the wall; give 0 to 4200",
        ),
        (
            {"openings": [{"left_mm": 4100}]},
            "openings[0].width_mm",
            "146 from 4100 reaches 4246, beyond the wall's 4200; give at most 100",
        ),
        (
            {"openings": [{"bottom_mm": 2500}]},
            "openings[0].height_mm",
            "86 from 2500 reaches 2586, beyond the wall's height of 2550; give at most 50",
        ),
        (
            {"openings": [{"width_mm": 0}]},
            "openings[0].width_mm",
            "0 is no size; give more than 0 and at most 2720",
        ),
        (
            {"openings": [{}, {"left_mm": 1600, "kind": "switch"}]},
            "openings[1]",
            "switch overlaps openings[0] (socket); move it or make them one opening",
        ),
        (
            {"zones": [{"kind": "hidden", "left_mm": 0, "bottom_mm": 2600, "width_mm": 9, "height_mm": 9}]},
            "zones[0].bottom_mm",
            "2600 lies beyond the wall's height of 2550; give less than 2550",
        ),
        (
            {"wall": {"skirting_mm": 2600}},
            "wall.skirting_mm",
            "2600 reaches the ceiling at 2550; give less than that",
        ),
        (
            {"wall": {"right": {"meets": "wall", "shadow_gap_mm": 4200}}},
            "wall.right.shadow_gap_mm",
            "4200 and what else stands at the ends take 4200 of the wall's 4200; give less than 4200",
        ),
        (
            {"wall": {"width_mm": 200}, "slats": {"width_mm": 220}},
            "slats.width_mm",
            "220 is wider than the run of 200; give at most 200",
        ),
        (
            {"wall": {"width_mm": 150}, "slats": {"width_mm": 100}},
            "slats.width_mm",
            '100 does not fit twice into the run of 150; nearest: ends "gap" with one slat and 25 each side, '
            "or two slats of at most 75",
        ),
        (
            {"stock": StockOf(2000, 2400)},
            "stock.lengths_mm",
            "the longest, 2400, leaves 2300 between its end trims, and a slat is 2550; add a longer length, "
            "or set slats.longest_mm to at most 2300 for staggered joints",
        ),
    ],
)
def test_each_contradiction_is_named(given: dict[str, Any], path: str, message: str) -> None:
    assert problems(**given) == [(path, message)]


def test_of_many_openings_on_one_spot_each_is_named_once() -> None:
    found = problems(openings=500 * [{}])
    assert [path for path, _message in found] == [f"openings[{number}]" for number in range(1, 500)]
    said = [message for _path, message in found]
    ending = "; move it or make them one opening"
    sockets = [f"openings[{number}] (socket)" for number in range(3)]
    assert said[0] == f"socket overlaps {sockets[0]}{ending}"
    assert said[2] == f"socket overlaps {', '.join(sockets)}{ending}"
    assert said[-1] == f"socket overlaps {', '.join(sockets)} and 496 more{ending}"


@pytest.mark.parametrize(
    ("given", "path", "message"),
    [
        (
            {"wall": {"skirting": "removed", "plinth_mm": 2600}},
            "wall.plinth_mm",
            "2600 reaches the ceiling at 2550; give less than that",
        ),
        (
            {"wall": {"cornice_mm": 2600}},
            "wall.cornice_mm",
            "2600 and what else stands at floor and ceiling leave no height of 2550; give less",
        ),
        (
            {"wall": {"skirting_mm": 1500, "closing_trim_mm": 1100}},
            "wall.skirting_mm",
            "1500 and what else stands at floor and ceiling leave no height of 2550; give less",
        ),
        (
            {"wall": {"height_mm": 300, "floor_out_of_level_mm": 200, "ceiling_out_of_level_mm": -150}},
            "wall.height_mm",
            "300 leaves no height between a floor that reaches 200 and a ceiling that comes down to 150; "
            "measure again",
        ),
        (
            {"slats": {"shift_for_openings": True, "pattern": {"group": 2}}},
            "slats.shift_for_openings",
            "a pattern cannot be shifted; leave it out",
        ),
        (
            {
                "wall": {"width_mm": 100},
                "slats": {"width_mm": 44, "pattern": {"group": 3, "group_gap_mm": 2}},
            },
            "slats.width_mm",
            "one group takes 136 of the run of 100; give a smaller pattern",
        ),
        (
            {"slats": {"spacing": "feature", "feature_mm": 4300}},
            "slats.feature_mm",
            "4300 lies outside the run; give 0 to 4200",
        ),
        (
            {"slats": {"spacing": "spacer", "closing": "trim"}},
            "slats.spacing",
            '"spacer" with closing "trim" finds no place on this wall; nearest that does: 72 slats '
            'with a gap of 14.1 mm (slats.spacing "centred", slats.centre_on "gap")',
        ),
        (
            {"wall": {"width_mm": 150}, "slats": {"width_mm": 60, "gap_range_mm": [5, 6]}},
            "slats.gap_range_mm",
            '"even" does not work here: Gap of 30 mm lies outside the allowed 5 to 6 mm; nearest that does: '
            "2 slats with an even gap of 30 mm",
        ),
    ],
)
def test_contradictions_with_what_would_be_accepted(given: dict[str, Any], path: str, message: str) -> None:
    assert problems(**given) == [(path, message)]


def test_a_spacer_outside_the_allowed_gaps_is_named_whatever_closes_the_run() -> None:
    slats = {"spacing": "spacer", "closing": "gap", "spacers_mm": [30], "gap_range_mm": [12, 16]}
    ((path, message),) = problems(slats=slats)
    assert path == "slats.spacing"
    assert message.startswith(
        '"spacer" does not work here: Gap of 30 mm lies outside the allowed 12 to 16 mm; '
    )


def test_a_board_without_thickness_holds_no_pin() -> None:
    ((path, message),) = problems(panels={"thickness_mm": 0})
    assert (path, message) == ("panels.thickness_mm", "0 leaves nothing to pin into; give more than 0")


def test_all_problems_come_at_once() -> None:
    found = problems(
        wall={"skirting_mm": 2600}, openings=[{"left_mm": 4300}, {"bottom_mm": 9000}], stock=StockOf(300)
    )
    assert {path for path, _ in found} == {
        "wall.skirting_mm",
        "openings[0].left_mm",
        "openings[1].bottom_mm",
    }


def test_slats_wider_than_the_wall_are_named_beside_a_wall_without_height() -> None:
    found = dict(problems({"width_mm": 200, "height_mm": 320, "skirting_mm": 330}, {"width_mm": 220}))
    assert set(found) == {"wall.skirting_mm", "slats.width_mm"}
    assert found["slats.width_mm"] == "220 is wider than the run of 200; give at most 200"
