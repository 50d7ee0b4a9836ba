"""Panels: joints behind slats, wrap and clearances, what one person carries, access, joints across."""

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from laid_out import ONE_PANEL, WORKED, placed, problems, said

from meshes.layout.across import slat_cuts
from meshes.layout.placed import SetOut
from meshes.layout.report import as_json

CHEAP = {"max_weight_kg": 1000}
"""Leaves weight out of the choice."""


def joints(result: SetOut) -> list[Fraction]:
    return [(before.board.right + after.board.left) / 2 for before, after in pairwise(result.panels)]


def test_the_bridging_slat_belongs_to_the_far_panel_and_overhangs_towards_the_datum() -> None:
    for datum in ("left", "right"):
        result = placed(WORKED, {"datum": datum})
        for joint, (before, after) in zip(joints(result), pairwise(result.panels), strict=True):
            bridging = next(s for s in result.slats if s.extent.left < joint < s.extent.right)
            assert bridging.panel == (after if datum == "left" else before).index


def test_each_side_of_a_joint_bears_ten_millimetres() -> None:
    result = placed(WORKED)
    for joint in joints(result):
        slat = next(s.extent for s in result.slats if s.extent.left < joint < s.extent.right)
        assert min(joint - slat.left, slat.right - joint) - 1 >= 10  # common practice; 1: half the clearance


def test_slats_too_narrow_to_bear_are_reported() -> None:
    """18 mm over a clearance of 2: 8 mm each side."""
    assert "Joints have only 8 mm of slat over each board edge" in said(placed({}, {"width_mm": 18}))


def test_joints_seek_the_wide_slats_of_a_pattern() -> None:
    slats = {"gap_mm": 12, "pattern": {"widths_mm": [15, 15, 50]}}
    result = placed({}, slats)
    bridging = [
        next(s.extent.width for s in result.slats if s.extent.left < joint < s.extent.right)
        for joint in joints(result)
    ]
    assert set(bridging) == {50}


def test_the_last_panel_has_room_to_go_in_and_its_closing_slat_is_loose() -> None:
    """4 mm by default (3 to 5 is common practice), unless the end is open."""
    result = placed()
    assert 4200 - result.panels[-1].outline.right == 4
    assert result.panels[0].outline.left == 0
    assert result.slats[-1].loose
    from_right = placed({}, {"datum": "right"})
    assert from_right.panels[0].outline.left == 4
    assert from_right.slats[0].loose
    assert placed({"right": {"meets": "open"}}).panels[-1].outline.right == 4200


def test_boards_are_cut_under_by_the_cloth_round_their_edges() -> None:
    result = placed(WORKED, panels={"fabric_mm": 1.5})
    for panel in result.panels:
        assert panel.outline.width - panel.board.width == 3
        assert panel.outline.height - panel.board.height == 3
    painted = placed(WORKED, panels={"fabric_mm": 0})
    assert all(panel.outline == panel.board for panel in painted.panels)


def test_weight_by_density_worked_by_hand() -> None:
    """One panel of 400 x 1000: board 398 of 400 wide taken whole, 12 mm at 750; 7 slats 40 x 16 at 520."""
    wall = {"width_mm": 400, "height_mm": 1000, "right": {"meets": "open"}}
    (panel,) = placed(wall, {"width_mm": 40, "gap_mm": 20}).panels
    assert panel.weight_kg == Fraction(400 * 1000 * 12 * 750 + 7 * 40 * 16 * 1000 * 520, 1_000_000_000)


def test_panels_stay_within_what_one_person_carries() -> None:
    """25 kg by default (common practice)."""
    heavy = placed({"height_mm": 2700}, panels={**CHEAP, "sheet_mm": [1220, 2800]})
    assert max(panel.weight_kg for panel in heavy.panels) > 25
    carried = placed({"height_mm": 2700}, panels={"sheet_mm": [1220, 2800]})
    assert max(panel.weight_kg for panel in carried.panels) <= 25
    assert len(carried.panels) > len(heavy.panels)


def test_panels_that_cannot_be_narrow_enough_are_as_narrow_as_can_be() -> None:
    """A pitch of 260 is over 100 already: one slat and gap a panel, and the last with two."""
    result = placed({"width_mm": 5000}, {"width_mm": 60, "gap_mm": 200}, panels={"max_width_mm": 100})
    assert {len(panel.slats) for panel in result.panels[:-1]} == {1}
    assert "wider than the 100 mm allowed" in said(result)


def test_a_panel_that_cannot_be_light_enough_is_reported() -> None:
    assert "over 2 kg: it takes two to carry" in said(placed(panels={"max_weight_kg": 2}))
    assert "kg" not in said(placed(panels={"max_weight_kg": 5}))


def test_panels_get_in_by_the_door() -> None:
    free = placed(WORKED, panels=CHEAP)
    assert max(panel.outline.width for panel in free.panels) > 500
    narrow = placed(WORKED, panels={**CHEAP, "way_in_mm": [500, 2600]})
    assert max(panel.outline.width for panel in narrow.panels) <= 500
    stairs = placed(WORKED, panels={"way_in_mm": [760, 2000]})
    assert "Panels do not get in through 760 × 2000 mm" in said(stairs)


def test_a_removable_panel_covers_an_access_zone_and_is_held_by_no_neighbour() -> None:
    zone = {"kind": "access", "left_mm": 2000, "bottom_mm": 300, "width_mm": 300, "height_mm": 300}
    result = placed(WORKED, zones=[zone])
    (removable,) = [panel for panel in result.panels if panel.removable]
    assert removable.outline.left <= 2000
    assert removable.outline.right >= 2300
    owned = [result.slats[index].extent for index in removable.slats]
    assert owned[0].left < removable.outline.left  # it owns the slats over both of its joints
    assert owned[-1].right > removable.outline.right
    around = [panel.slats for panel in result.panels if not panel.removable]
    assert sorted(i for slats in (*around, removable.slats) for i in slats) == list(range(len(result.slats)))
    whole = (removable.outline.width + 2) / result.pitch
    assert whole.denominator == 1


def test_access_at_the_end_of_the_run() -> None:
    zone = {"kind": "access", "left_mm": 0, "bottom_mm": 300, "width_mm": 200, "height_mm": 300}
    result = placed(zones=[zone])
    assert [panel.index for panel in result.panels if panel.removable] == [0]
    assert result.panels[0].outline.right >= 200


def test_an_access_zone_beside_the_run_needs_no_panel() -> None:
    zone = {"kind": "access", "left_mm": 5, "bottom_mm": 300, "width_mm": 20, "height_mm": 300}
    result = placed({"left": {"shadow_gap_mm": 30}}, zones=[zone])
    assert not [panel for panel in result.panels if panel.removable]


def test_no_service_is_buried() -> None:
    """Behind furniture or not: every opening is cut out of whatever board is over it."""
    zone = {"kind": "hidden", "left_mm": 1000, "bottom_mm": 0, "width_mm": 1000, "height_mm": 1000}
    result = placed({"width_mm": 2000}, openings=[{}], zones=[zone], panels=ONE_PANEL)
    assert sum(cut.area for panel in result.panels for cut in panel.cutouts) == 146 * 86


def test_cut_outs_are_dimensioned_from_the_boards_own_corner() -> None:
    result = placed(openings=[{}])
    for panel in result.panels:
        for cut in panel.cutouts:
            own = panel.from_own_corner(cut)
            assert own.left == cut.left - panel.board.left
            assert own.bottom == 450 - 1  # the board starts 1 mm over the floor, above its cloth
            assert 0 <= own.left <= panel.board.width - own.width
    printed = [cut for panel in as_json(result)["panels"] for cut in panel["cutouts_from_corner"]]
    assert printed
    assert all(cut["bottom_mm"] == 449 for cut in printed)


def test_boards_taller_than_the_sheet_are_jointed_above_two_metres() -> None:
    """2550 high, cloth taken off 2548, sheet 2440: jointed at 1 + 2440 (above 2 m, common practice)."""
    result = placed()
    for panel in result.panels:
        lower, upper = panel.parts
        assert (lower.bottom, lower.top, upper.top) == (1, 2349, 2549)  # the upper part keeps 200 mm
    assert "jointed across at 2349 mm, above 2000 mm" in said(result)


def test_boards_that_reach_are_one_part() -> None:
    result = placed(WORKED, panels={"sheet_mm": [1220, 3050]})
    assert all(panel.parts == (panel.board,) for panel in result.panels)


def test_a_joint_may_hide_behind_furniture() -> None:
    zone = {"kind": "hidden", "left_mm": 0, "bottom_mm": 0, "width_mm": 4200, "height_mm": 900}
    result = placed(panels={"sheet_mm": [1220, 1900]}, zones=[zone])
    assert {panel.parts[0].top for panel in result.panels} == {900}


def test_a_board_joint_in_plain_sight_is_refused() -> None:
    ((path, message),) = problems(panels={"sheet_mm": [1220, 1900]})
    assert path == "panels.sheet_mm"
    assert message == (
        "boards 2548 high would be jointed across at 1275, in plain sight; give a sheet at least 2000 long"
    )


def test_long_slats_get_staggered_joints() -> None:
    """5200 high with lengths of 4600: joints at 4600 and 4200 in turn, 400 apart (common practice)."""
    result = placed({"height_mm": 5200}, {"longest_mm": 4600}, panels={"sheet_mm": [1220, 2800]})
    assert [p.top for p in result.slats[0].pieces] == [4600, 5200]
    assert [p.top for p in result.slats[1].pieces] == [4200, 5200]
    assert "joints at 4600 mm and at 4200 mm in turn, staggered 400 mm" in said(result)
    assert "They show" not in said(result)


def test_level_slats_longer_than_stock_are_staggered_along_the_wall() -> None:
    result = placed(
        {"height_mm": 600}, {"run": "level", "longest_mm": 2400}, panels={"sheet_mm": [1220, 4300]}
    )
    for before, after in pairwise(result.slats):
        ends = [{p.right for p in slat.pieces[:-1]} for slat in (before, after)]
        assert min(abs(one - other) for one in ends[0] for other in ends[1]) >= 400
    longest = max(piece.width for slat in result.slats for piece in slat.pieces)
    assert longest <= 2400
    assert "They show" in said(result)


def test_lengths_too_short_to_stagger_are_refused() -> None:
    ((path, message),) = problems({}, {"longest_mm": 700})
    assert path == "slats.longest_mm"
    assert message.startswith("700 is too short to stagger joints by 400")
    assert slat_cuts(Fraction(0), Fraction(2550), Fraction(700), ()) is None


def test_openings_that_shorten_a_slat_spare_it_the_joint() -> None:
    window = {"kind": "window", "left_mm": 1000, "bottom_mm": 900, "width_mm": 1200, "height_mm": 3000}
    result = placed(
        {"height_mm": 5200}, {"longest_mm": 4600}, openings=[window], panels={"sheet_mm": [1220, 2800]}
    )
    inside = [s for s in result.slats if s.extent.left >= 1000 and s.extent.right <= 2200]
    assert {len(slat.pieces) for slat in inside} == {2}


@pytest.mark.parametrize("run", ["upright", "level"])
def test_boards_and_clearances_fill_the_run(run: str) -> None:
    result = placed({"height_mm": 2400}, {"run": run}, panels={"sheet_mm": [1220, 4300]})
    outlines = [panel.outline for panel in result.panels]
    sizes = [o.width if run == "upright" else o.height for o in outlines]
    total: Any = sum(sizes) + 2 * (len(sizes) - 1) + 4
    assert total == result.run_length


def test_no_panel_is_left_as_a_sliver_where_as_many_sheets_give_wider_ones() -> None:
    """Four boards of 563 to 584 and one of 65 come out of three sheets; so do six of 322 to 429."""
    result = placed({"width_mm": 2360, "height_mm": 2580}, {"width_mm": 40, "gap_mm": 12})
    assert len(result.panels) == 6
    widths = [panel.board.width for panel in result.panels]
    assert 3 * min(widths) >= max(widths)


def test_joints_that_no_zone_hides_are_named_one_by_one() -> None:
    """Level slats and boards of 4000, joined behind a wardrobe 1000 high; above it they show."""
    zone = {"kind": "hidden", "left_mm": 1500, "bottom_mm": 0, "width_mm": 1200, "height_mm": 1000}
    result = placed(
        {"width_mm": 4000, "height_mm": 1260},
        {"run": "level", "width_mm": 40, "gap_mm": 20, "longest_mm": 3000},
        zones=[zone],
        panels={"sheet_mm": [1220, 3050]},
    )
    over = [slat.index + 1 for slat in result.slats if slat.extent.top > 1000]
    assert len(over) == 5
    assert f"Those of slats {over[0]} to {over[-1]} show: nothing hides them." in said(result)
    high = [panel.index + 1 for panel in result.panels if panel.board.top > 1000]
    assert len(high) == 1
    assert f"jointed across at 2000, 2700 mm, that of panel {high[0]} in sight." in said(result)


def test_a_way_in_too_low_for_any_panel_makes_no_slivers() -> None:
    """2550 high through 500 × 2000: no width helps, so the boards stay as wide as they are otherwise."""
    through = placed(panels={"way_in_mm": [500, 2000]})
    assert "Panels do not get in through 500 × 2000 mm: joint boards in the room." in said(through)
    assert [panel.board for panel in through.panels] == [panel.board for panel in placed().panels]
