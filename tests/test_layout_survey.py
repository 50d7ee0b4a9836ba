"""The survey: three-point measures, levels, ends, junctions, flatness, what is to be closed or scribed."""

from fractions import Fraction
from typing import Any

import pytest
from laid_out import ONE_PANEL, SOCKET, placed, problems, said
from pydantic import ValidationError

from meshes.layout.face import Strip
from meshes.layout.measured import Measured
from meshes.layout.rect import Rect
from meshes.layout.report import as_json
from meshes.layout.scribe import Scribe
from meshes.layout.spacing import AsMachined, Cleared, Panels, Pattern, Slats
from meshes.layout.survey import End, Leaf, NextWall, Opening, Wall, Zone


def strips(found: tuple[Strip, ...]) -> list[tuple[str, str, Fraction, Fraction]]:
    """(side, kind, first coordinate, size) of strips, along x for upright and along y for level ones."""
    return [
        (s.side, s.kind, s.rect.left, s.rect.width)
        if s.side in ("left", "right")
        else (s.side, s.kind, s.rect.bottom, s.rect.height)
        for s in found
    ]


def test_of_three_widths_the_narrowest_counts() -> None:
    result = placed({"width_mm": {"floor": 4206, "middle": 4200, "ceiling": 4203}})
    assert result.wall_width == result.face.width == 4200


def test_of_three_heights_level_slats_end_under_the_lowest() -> None:
    """Ceiling 2550 at the left, 2541 in the middle, 2546 at the right, over a level floor."""
    result = placed({"height_mm": {"left": 2550, "middle": 2541, "right": 2546}})
    assert {slat.extent.top for slat in result.slats} == {2541}
    assert Scribe(side="top", at_start=Fraction(9), at_end=Fraction(5)) in result.scribes
    assert "The ceiling is 9 mm out of level: slats end level under its lowest point at 2541 mm." in said(
        result
    )


def test_three_points_survive_json_and_say_what_is_accepted() -> None:
    wall = Wall.model_validate_json(
        '{"width_mm": {"floor": 4206, "middle": 4200.5, "ceiling": 4203}, "height_mm": 2550}'
    )
    assert isinstance(wall.width_mm, Measured)
    assert wall.width_mm.at == (4206, Fraction(8401, 2), 4203)
    assert Wall.model_validate_json(wall.model_dump_json()) == wall
    assert wall.model_copy(deep=True) == wall
    with pytest.raises(
        ValidationError, match="expected one number, or an object with floor, middle and ceiling"
    ):
        Wall.model_validate({"width_mm": {"floor": 4206}, "height_mm": 2550})
    with pytest.raises(ValidationError, match="50 is outside the accepted 100 to 60000 mm"):
        Wall.model_validate({"width_mm": {"floor": 50, "middle": 400, "ceiling": 400}, "height_mm": 2550})


def test_different_measurements_of_one_narrowest_are_different_walls() -> None:
    one = Wall.model_validate(
        {"width_mm": {"floor": 4206, "middle": 4200, "ceiling": 4203}, "height_mm": 2550}
    )
    other = Wall.model_validate(
        {"width_mm": {"floor": 4207, "middle": 4200, "ceiling": 4203}, "height_mm": 2550}
    )
    assert one.width_mm < 4201
    assert one != other


def test_slats_start_level_at_the_highest_point_of_the_floor() -> None:
    """The floor rises 8 mm to the right: everything starts at 8, and 8 to 0 mm are scribed below."""
    result = placed({"floor_out_of_level_mm": 8, "plinth_mm": 100})
    assert {slat.extent.bottom for slat in result.slats} == {108}
    assert strips(result.trims) == [("bottom", "plinth", 8, 100)]
    assert Scribe(side="bottom", at_start=Fraction(108), at_end=Fraction(100)) in result.scribes
    assert "The floor falls 8 mm to the left" in said(result)


@pytest.mark.parametrize(
    ("wall", "bottom", "top", "shadow_gaps", "trims"),
    [
        ({}, 0, 2550, [], []),
        ({"ceiling": "shadow", "ceiling_mm": 20}, 0, 2530, [("top", "shadow_gap", 2530, 20)], []),
        ({"ceiling": "trim", "ceiling_mm": 30}, 0, 2520, [], [("top", "trim", 2520, 30)]),
        ({"cornice_mm": 90, "cornice_projection_mm": 60}, 0, 2460, [], []),
        ({"skirting_mm": 120, "closing_trim_mm": 20}, 140, 2550, [], [("bottom", "trim", 120, 20)]),
        (
            {"skirting": "removed", "skirting_mm": 120, "plinth_mm": 80},
            80,
            2550,
            [],
            [("bottom", "plinth", 0, 80)],
        ),
        ({"skirting": "removed", "skirting_mm": 120}, 0, 2550, [], []),
    ],
)
def test_junctions_at_floor_and_ceiling(
    wall: dict[str, Any], bottom: int, top: int, shadow_gaps: list[Any], trims: list[Any]
) -> None:
    result = placed(wall)
    assert (result.face.bottom, result.face.top) == (bottom, top)
    assert strips(result.shadow_gaps) == shadow_gaps
    assert strips(result.trims) == trims


@pytest.mark.parametrize(
    ("end", "run", "found"),
    [
        ({"meets": "open", "trim_mm": 12}, 4188, [("right", "trim", 4188, 12)]),
        ({"meets": "open", "trim_mm": 18, "closes_with": "return"}, 4182, [("right", "return", 4182, 18)]),
        ({"meets": "outside_corner"}, 4200, [("right", "post", 4200, 29)]),
        ({"meets": "outside_corner", "post_mm": 45}, 4200, [("right", "post", 4200, 45)]),
        ({"meets": "wall", "trim_mm": 12}, 4200, []),
    ],
)
def test_ends(end: dict[str, Any], run: int, found: list[Any]) -> None:
    result = placed({"right": end})
    assert result.face.width == run
    assert strips(result.trims) == found


def test_the_strip_at_a_leaning_wall_is_scribed_so_that_slats_stand_plumb() -> None:
    """Leaning 7 mm into the run at the top: 12 at the top, 19 at the foot; leaning out: the other way."""
    into = {"left": {"out_of_plumb_mm": 7, "shadow_gap_mm": 12}}
    assert placed(into).scribes == (Scribe(side="left", at_start=Fraction(19), at_end=Fraction(12)),)
    out = {"left": {"out_of_plumb_mm": -7, "shadow_gap_mm": 12}}
    assert placed(out).scribes == (Scribe(side="left", at_start=Fraction(12), at_end=Fraction(19)),)
    assert {slat.extent.left for slat in placed(into).slats} == {
        slat.extent.left for slat in placed(out).slats
    }


@pytest.mark.parametrize(
    ("middle", "treatment", "shown"),
    [(4, "none", 2), (-8, "packers", 4), (12, "battens", 6)],
)
def test_flatness_under_a_straightedge_of_two_metres(middle: int, treatment: str, shown: int) -> None:
    """A line of 4000 bulging at its middle by d: straight between the points, 2 m show d/2."""
    rows = [[0, 0, 0], [0, middle, 0], [0, 0, 0]]
    result = placed(
        {"width_mm": 4000, "height_mm": 4000, "flatness_mm": rows}, panels={"sheet_mm": [1220, 4000]}
    )
    assert result.flatness is not None
    assert (result.flatness.treatment, result.flatness.under_2_m) == (treatment, shown)
    high = max(middle, 0)
    assert result.flatness.packers[1] == (high, high - middle, high)
    assert ("2 m" in said(result)) == (treatment != "none")
    printed = as_json(result)["flatness"]
    assert (printed["treatment"], printed["under_2_m_mm"]) == (treatment, shown)


def test_what_stands_over_skirting_cornice_and_architrave_is_reported_with_its_trim() -> None:
    """Build-up 12 + 1 + 16 = 29."""
    door = {
        "kind": "door",
        "bottom_mm": 0,
        "height_mm": 2040,
        "architrave_mm": 70,
        "architrave_projection_mm": 18,
    }
    result = placed(
        {"skirting_mm": 120, "skirting_projection_mm": 18, "cornice_mm": 80, "cornice_projection_mm": 25},
        openings=[door],
    )
    assert "stands 11 mm over the kept skirting's 18" in said(result)
    assert "stands 4 mm over the cornice's 25" in said(result)
    assert "stands 11 mm over the architrave of the door at 1480 mm" in said(result)
    closed = placed({"skirting_mm": 120, "skirting_projection_mm": 18, "closing_trim_mm": 20})
    assert "kept skirting" not in said(closed)


def test_slats_stop_at_the_architrave_round_a_door() -> None:
    door = {
        "kind": "door",
        "left_mm": 1000,
        "bottom_mm": 0,
        "width_mm": 800,
        "height_mm": 2040,
        "architrave_mm": 70,
    }
    result = placed(openings=[door])
    free = Rect(left=Fraction(930), bottom=Fraction(0), width=Fraction(940), height=Fraction(2110))
    for slat in result.slats:
        for piece in slat.pieces:
            apart = piece.right <= free.left or piece.left >= free.right or piece.bottom >= free.top
            assert apart, piece


def test_a_clearance_is_left_free_all_round() -> None:
    result = placed(
        {"width_mm": 400}, {"width_mm": 40, "gap_mm": 20}, openings=[{"left_mm": 130, "clearance_mm": 5}]
    )
    assert {(p.bottom, p.top) for p in result.slats[3].pieces} == {(0, 445), (541, 2550)}


@pytest.mark.parametrize(
    ("plate", "stands_out", "cut"),
    [("pocket", 0, (1480, 146)), ("board", 13, (1488, 130)), ("slats", 29, (1488, 130))],
)
def test_where_a_plate_sits(plate: str, stands_out: int, cut: tuple[int, int]) -> None:
    """Build-up 29, fabric face 13; a plate on board or slats covers 8 mm of the hole's edge (ours)."""
    result = placed({"width_mm": 2000}, openings=[{"plate": plate}], panels=ONE_PANEL)
    (found,) = result.plates
    assert (found.sits, found.stands_out) == (plate, stands_out)
    cuts = [c for panel in result.panels for c in panel.cutouts]
    assert (min(c.left for c in cuts), sum(c.width for c in cuts)) == cut


def test_the_colour_of_a_plate_is_carried_along() -> None:
    result = placed(openings=[{"plate_lab_d65": [35, 0, -2.5]}])
    assert result.plates[0].lab_d65 == (35, 0, Fraction(-5, 2))


def test_a_leaf_that_folds_back_meets_the_slats() -> None:
    """Handle 60 out at 750 from the hinge, build-up 29: 180 - asin(29/752.4) - atan(60/750) = 173.2."""
    leaf = {"hinge": "right", "width_mm": 750, "handle_mm": 60}
    door = {"kind": "door", "left_mm": 1000, "bottom_mm": 0, "width_mm": 800, "height_mm": 2040, "leaf": leaf}
    assert "The leaf of the door at 1000 mm folds back over 1800 to 2550 mm" in said(placed(openings=[door]))
    assert "it opens to 173° before it meets the slats" in said(placed(openings=[door]))


def test_a_leaf_meets_the_edge_of_the_slats_beside_its_hinge() -> None:
    """18 of the build-up's 29 are the architrave's: 180 - atan(11/70) = 171.1; 30 cover it."""
    leaf = {"hinge": "right", "width_mm": 750, "handle_mm": 60}
    door = {
        "kind": "door",
        "left_mm": 1000,
        "bottom_mm": 0,
        "width_mm": 800,
        "height_mm": 2040,
        "architrave_mm": 70,
        "architrave_projection_mm": 18,
        "leaf": leaf,
    }
    words = "Hung level with the architrave it meets the edge of the slats, 70 mm beside the opening, at 171°"
    assert words in said(placed(openings=[door]))
    assert "meets the edge" not in said(placed(openings=[{**door, "architrave_projection_mm": 30}]))


def test_a_plate_edge_over_a_slat_says_how_much_cloth_shows() -> None:
    """Slats at 0, 60, 120, ...: an edge at 130 leaves 10 mm of slat 3 beside the plate."""
    result = placed(
        {"width_mm": 400}, {"width_mm": 40, "gap_mm": 20}, openings=[{"left_mm": 130, "width_mm": 40}]
    )
    assert "An edge of the socket at 130 mm lies over slat 3: 10 mm of cloth show" in said(result)
    assert said(result).count("mm of cloth show") == 1


def test_a_floor_to_come_moves_the_level_line() -> None:
    assert "14 mm above the bare floor" in said(placed({"floor_to_come_mm": 14}))


@pytest.mark.parametrize(
    ("wall", "path", "message"),
    [
        (
            {"studs_mm": [400, 4300]},
            "wall.studs_mm[1]",
            "4300 lies outside the wall; give 0 to 4200",
        ),
        (
            {"ceiling": "shadow"},
            "wall.ceiling_mm",
            '0 is no shadow; give its height or set wall.ceiling to "plain"',
        ),
        (
            {"ceiling_mm": 20},
            "wall.ceiling_mm",
            '20 goes with wall.ceiling "shadow" or "trim"; leave it out',
        ),
        (
            {"skirting_mm": 100, "plinth_mm": 80},
            "wall.plinth_mm",
            '80 goes with no skirting; set wall.skirting to "removed" or leave it out',
        ),
        (
            {"closing_trim_mm": 20},
            "wall.closing_trim_mm",
            "closes the edge over a kept skirting; give wall.skirting_mm or leave it out",
        ),
        (
            {"right": {"meets": "wall", "post_mm": 40}},
            "wall.right.post_mm",
            '40 goes with meets "outside_corner"; leave it out',
        ),
        (
            {"width_mm": {"floor": 4200, "middle": 4200, "ceiling": 4200}, "left": {"out_of_plumb_mm": 9}},
            "wall.width_mm",
            "4200 at the floor and 4200 at the ceiling do not go with ends that lean in 9 together; "
            "measure again",
        ),
        (
            {"height_mm": {"left": 2550, "middle": 2550, "right": 2550}, "ceiling_out_of_level_mm": 12},
            "wall.ceiling_out_of_level_mm",
            "12 does not go with the three heights, which say 0; leave it out",
        ),
        (
            {"skirting_mm": 1500, "cornice_mm": 1200},
            "wall.skirting_mm",
            "1500 reaches the ceiling at 1350; give less than that",
        ),
        (
            {"ceiling": "trim", "ceiling_mm": 2550},
            "wall.ceiling_mm",
            "2550 reaches the ceiling at 2550; give less than that",
        ),
    ],
)
def test_contradictions_of_the_survey(wall: dict[str, Any], path: str, message: str) -> None:
    assert problems(wall) == [(path, message)]


@pytest.mark.parametrize(
    ("opening", "path", "message"),
    [
        ({"kind": "vent", "architrave_mm": 50}, "openings[0].architrave_mm", "a vent has none; leave it out"),
        ({"kind": "door", "plate": "board"}, "openings[0].plate", "a door has no plate; leave it out"),
        (
            {"kind": "window", "leaf": {"hinge": "left", "width_mm": 700}},
            "openings[0].leaf",
            "a window has none; leave it out",
        ),
    ],
)
def test_keys_that_an_opening_cannot_have(opening: dict[str, Any], path: str, message: str) -> None:
    assert problems(openings=[{**SOCKET, **opening}]) == [(path, message)]


def test_a_taper_that_was_asked_for_is_reported() -> None:
    """Ends on gaps of 160/7 beside a wall that leans 9: set out as wished, and said."""
    wall = {"width_mm": 400, "left": {"out_of_plumb_mm": 9}}
    result = placed(wall, {"width_mm": 40, "gap_mm": 20, "ends": "gap"})
    assert "Visible taper of 9 mm at the left end is over a third of the gap (7.6 mm): finish" in said(result)


def test_short_pieces_of_one_length_are_said_together() -> None:
    window = {"kind": "window", "left_mm": 110, "bottom_mm": 60, "width_mm": 200, "height_mm": 1000}
    result = placed({"width_mm": 400}, {"width_mm": 40, "gap_mm": 20}, openings=[window])
    assert "Slats 3 to 6 keep a piece of only 60 mm (under 100, common practice)." in result.warnings


def test_studs_that_were_not_found_are_asked_for() -> None:
    assert "board on studs, and its studs are not surveyed" in said(placed({"build": "board_on_studs"}))
    assert "not surveyed" not in said(placed({"build": "masonry"}))


def test_every_key_of_the_survey_and_the_wish_is_described() -> None:
    """``schema`` prints the descriptions; a key that ends in its unit gets one from that."""
    models = (Wall, End, Opening, Leaf, Zone, NextWall, Slats, AsMachined, Pattern, Panels, Cleared)
    for model in models:
        assert model.__doc__
        for name, field in model.model_fields.items():
            assert field.description or name.endswith("_mm"), (model.__name__, name)
