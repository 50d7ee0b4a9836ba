"""Walls round the corner."""

from fractions import Fraction
from typing import Any

import pytest
from laid_out import placed, placed_walls, problems

from meshes.layout.report import walls_json

SIDE: dict[str, Any] = {"width_mm": 1800, "height_mm": 2550}


def test_round_an_inside_corner_the_run_starts_at_the_build_up_and_a_gap() -> None:
    """Build-up 12 + 1 + 16 = 29: slats + gaps, one before the first slat, fill 1800 - 29 exactly."""
    first, second = placed_walls([{"turns": "inside", "wall": SIDE}])
    assert first.build_up.total == 29
    assert (second.face.left, second.face.width) == (29, 1771)
    assert second.slats[0].extent.left == 29 + second.gap
    count = len(second.slats)
    assert count * 44 + count * second.gap == 1771
    assert (first.turns, second.turns) == ("first", "inside")


def test_the_first_wall_goes_right_into_the_corner() -> None:
    first, _ = placed_walls([{"turns": "inside", "wall": SIDE}])
    alone = placed({"right": {"meets": "inside_corner"}})
    assert [slat.extent for slat in first.slats] == [slat.extent for slat in alone.slats]


def test_round_an_outside_corner_a_post_closes_both_build_ups() -> None:
    first, second = placed_walls([{"turns": "outside", "wall": SIDE}])
    (post,) = first.trims
    assert (post.kind, post.rect.left, post.rect.width) == ("post", 4200, 29)
    assert (second.face.left, second.face.width) == (0, 1800)


def test_from_the_right_the_gap_is_still_in_the_corner() -> None:
    _, second = placed_walls([{"turns": "inside", "wall": SIDE}], {}, {"datum": "right"})
    assert second.slats[0].extent.left == 29 + second.gap
    assert second.slats[-1].extent.right == 1800


@pytest.mark.parametrize("spacing", ["spacer", "even"])
def test_each_wall_adds_up(spacing: str) -> None:
    walls = placed_walls(
        [{"turns": "inside", "wall": {**SIDE, "width_mm": 1827}}, {"turns": "outside", "wall": SIDE}],
        {"width_mm": 44 * 72 + 71 * 14},
        {"spacing": spacing, "spacers_mm": [14], "closing": "gap"} if spacing == "spacer" else {},
    )
    for one in walls:
        edges = [one.face.left]
        for slat in one.slats:
            edges += [slat.extent.left, slat.extent.right]
        edges.append(one.face.right)
        spaces = [b - a for a, b in zip(edges[::2], edges[1::2], strict=True)]
        assert min(spaces) >= 0
        assert sum((s.extent.width for s in one.slats), Fraction(0)) + sum(spaces) == one.face.width


def test_openings_belong_to_the_wall_they_are_on() -> None:
    opening = {"kind": "socket", "left_mm": 500, "bottom_mm": 450, "width_mm": 86, "height_mm": 86}
    first, second = placed_walls([{"turns": "inside", "wall": SIDE, "openings": [opening]}])
    assert (len(first.plates), len(second.plates)) == (0, 1)


def test_the_report_lists_the_walls_that_follow() -> None:
    report = walls_json(placed_walls([{"turns": "inside", "wall": SIDE}]))
    assert [one["turns"] for one in report["next_walls"]] == ["inside"]
    assert "next_walls" not in walls_json((placed(),))


def test_problems_of_a_wall_round_the_corner_carry_its_path() -> None:
    opening = {"kind": "socket", "left_mm": 1900, "bottom_mm": 450, "width_mm": 86, "height_mm": 86}
    found = problems(
        next_walls=[{"turns": "inside", "wall": {**SIDE, "skirting_mm": 2600}, "openings": [opening]}]
    )
    assert found == [
        ("next_walls[0].wall.skirting_mm", "2600 reaches the ceiling at 2550; give less than that"),
        ("next_walls[0].openings[0].left_mm", "1900 lies beyond the wall's 1800; give less than 1800"),
    ]


def test_an_opening_across_a_corner_is_sent_round_it() -> None:
    found = problems(openings=[{"left_mm": 4100}], next_walls=[{"turns": "inside", "wall": SIDE}])
    assert found == [
        (
            "openings[0].width_mm",
            "146 from 4100 reaches 4246, beyond the wall's 4200; give at most 100; what is round the corner "
            "belongs to next_walls[0].openings",
        )
    ]


def test_an_end_that_goes_on_round_a_corner_meets_that_corner() -> None:
    found = problems({"right": {"meets": "open"}}, next_walls=[{"turns": "inside", "wall": SIDE}])
    assert found == [("wall.right.meets", '"open" is where next_walls[0] turns inside; give "inside_corner"')]


def test_a_run_that_starts_in_a_corner_says_so() -> None:
    _, second = placed_walls([{"turns": "inside", "wall": {"width_mm": 1800, "height_mm": 2550}}])
    assert second.chosen is not None
    assert second.chosen.reason.endswith("; a gap in the corner, the other end finishes on a slat.")
