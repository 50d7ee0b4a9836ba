"""The set-out: exact sums, the nearest gap, pieces at openings, joints behind slats."""

from collections import Counter
from collections.abc import Mapping
from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from laid_out import WORKED, job, placed

from meshes.layout.areas import areas
from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from meshes.layout.report import as_json
from meshes.layout.scaled import Scale
from meshes.layout.setout import NothingFitsError, set_out
from meshes.layout.sheets import count_sheets
from meshes.layout.spacing import Panels


def gaps_and_ends(result: SetOut) -> list[Fraction]:
    """Everything along the run that is not slat, first end and last end included."""
    edges = [result.face.left]
    for slat in result.slats:
        edges += [slat.extent.left, slat.extent.right]
    edges.append(result.face.right)
    return [after - before for before, after in zip(edges[::2], edges[1::2], strict=True)]


def test_the_wall_worked_by_hand() -> None:
    result = placed(WORKED, {})
    assert result.face.width == 4176
    assert len(result.slats) == 72
    assert result.gap == Fraction(1008, 71)
    assert result.pitch == Fraction(4132, 71)
    assert result.slats[0].extent.left == 12
    assert result.slats[-1].extent.right == 4188


def test_slats_gaps_and_ends_are_the_run() -> None:
    result = placed(WORKED, {"ends": "gap"})
    spaces = gaps_and_ends(result)
    assert set(spaces) == {result.gap}
    assert len(result.slats) * result.slat_width + sum(spaces) == result.face.width


@pytest.mark.parametrize(
    ("run", "wish", "count", "gap"),
    [
        (400, 20, 7, 20),  # 7 x 40 + 6 x 20 = 400: the wish itself
        (400, 24, 7, 20),  # 6 slats leave 32, 8 off; 7 leave 20, 4 off
        (400, 26, 6, 32),  # a tie, 6 either way: the larger
        (400, 0, 10, 0),
    ],
)
def test_the_gap_nearest_to_the_wish_the_larger_on_a_tie(run: int, wish: int, count: int, gap: int) -> None:
    result = placed({"width_mm": run}, {"width_mm": 40, "gap_mm": wish})
    assert (len(result.slats), result.gap) == (count, gap)


def test_whole_slats_stand_from_floor_to_ceiling() -> None:
    result = placed({"width_mm": 400}, {"width_mm": 40, "gap_mm": 20})
    assert all(slat.pieces == (slat.extent,) for slat in result.slats)
    assert (result.slats[0].extent.bottom, result.slats[0].extent.top) == (0, 2550)


def test_a_kept_skirting_carries_the_slats() -> None:
    result = placed({"width_mm": 400, "skirting_mm": 120, "skirting_projection_mm": 18}, {})
    assert result.skirting == Rect(
        left=Fraction(0), bottom=Fraction(0), width=Fraction(400), height=Fraction(120)
    )
    assert {slat.extent.bottom for slat in result.slats} == {120}
    assert "stands 11 mm over the kept skirting's 18" in " ".join(result.warnings)


def test_slats_are_cut_at_an_opening_and_only_where_it_is() -> None:
    socket = {"kind": "socket", "left_mm": 100, "bottom_mm": 450, "width_mm": 146, "height_mm": 86}
    result = placed({"width_mm": 400}, {"width_mm": 40, "gap_mm": 20}, openings=[socket])
    cut = [slat.index for slat in result.slats if len(slat.pieces) == 2]
    assert cut == [2, 3, 4]  # 120-160, 180-220, 240-280; slat 1 ends at 100, where the socket begins
    assert [(piece.bottom, piece.top) for piece in result.slats[2].pieces] == [(0, 450), (536, 2550)]
    assert [plate.kind for plate in result.plates] == ["socket"]
    assert sum(cut.area for panel in result.panels for cut in panel.cutouts) == 146 * 86


def test_a_door_takes_the_foot_of_the_slats() -> None:
    door = {"kind": "door", "left_mm": 1000, "bottom_mm": 0, "width_mm": 900, "height_mm": 2040}
    result = placed({"width_mm": 3000}, {}, openings=[door])
    inside = [slat for slat in result.slats if slat.extent.left >= 1000 and slat.extent.right <= 1900]
    assert inside
    assert {(piece.bottom, piece.top) for slat in inside for piece in slat.pieces} == {(2040, 2550)}
    assert not result.plates


def test_joints_lie_behind_slats_and_boards_are_cut_under_by_the_clearance() -> None:
    result = placed(WORKED, {}, panels={"sheet_mm": [1220, 3050]})
    for before, after in pairwise(result.panels):
        assert after.outline.left - before.outline.right == 2
        assert after.board.left - before.board.right == 2 + 2 * 1  # the cloth wrapped round both edges
        joint = (after.board.left + before.board.right) / 2
        bridging = result.slats[after.slats[0]].extent
        assert joint - bridging.left == bridging.right - joint == 22
    assert result.panels[0].outline.left == 12
    assert result.panels[-1].outline.right == 4188  # an open end: the last panel goes in from the side
    assert [index for panel in result.panels for index in panel.slats] == list(range(72))


def sheets_needed(boards: Mapping[tuple[Fraction, Fraction], int], panels: Panels) -> int | None:
    """Sheets for boards of these (width, height) [mm], none or all turned. None: one is too big."""
    scale = Scale([*panels.sheet_mm, panels.saw_kerf_mm, *(length for size in boards for length in size)])
    sizes = {(scale.whole(width), scale.whole(height)): count for (width, height), count in boards.items()}
    sheet = scale.whole(panels.sheet_mm[0]), scale.whole(panels.sheet_mm[1])
    return count_sheets(sizes, sheet, scale.whole(panels.saw_kerf_mm))


def test_nine_pitches_give_two_boards_a_sheet_and_twelve_only_one() -> None:
    """9 x 4132/71 = 524 and 12 x 4132/71 = 698, worked by hand: the widest board is not the cheapest."""
    sheet = Panels.model_validate({"sheet_mm": [1220, 3050]})
    nine, twelve = 9 * Fraction(4132, 71) - 2, 12 * Fraction(4132, 71) - 2
    assert (round(nine + 2), round(twelve + 2)) == (524, 698)
    assert sheets_needed({(nine, Fraction(2550)): 8}, sheet) == 4
    assert sheets_needed({(twelve, Fraction(2550)): 6}, sheet) == 6


def test_the_division_takes_the_fewest_sheets_then_the_fewest_panels() -> None:
    """Panels as wide as allowed need six sheets; nine pitches each, or ten and eleven, come out of four.

    Of these, seven panels are fewer, but two of them would weigh over 25 kg.
    """
    sheet = {"sheet_mm": [1220, 3050]}
    light = placed(WORKED, {}, panels={**sheet, "max_weight_kg": 100})
    assert [len(panel.slats) for panel in light.panels] == [11, 11, 10, 10, 10, 10, 10]
    carried = placed(WORKED, {}, panels=sheet)
    assert [len(panel.slats) for panel in carried.panels] == [9] * 8
    for result in (light, carried):
        boards = Counter((panel.board.width, panel.board.height) for panel in result.panels)
        assert max(width for width, _ in boards) <= 700
        assert sheets_needed(boards, Panels.model_validate(sheet)) == 4
    assert max(panel.weight_kg for panel in light.panels) > 25 >= max(p.weight_kg for p in carried.panels)


def test_machined_slats_are_set_out_again_and_the_kept_spacer_is_flagged() -> None:
    """72 slats 1.2 mm narrower with the spacer kept end 86.4 mm short (worked by hand)."""
    result = placed(WORKED, {"as_machined_mm": {"width": 42.8, "depth": 15.5}})
    assert result.slat_width == Fraction(428, 10)
    assert result.build_up.total == 12 + 1 + Fraction(31, 2)
    assert len(result.slats) * result.slat_width + (len(result.slats) - 1) * result.gap == 4176
    said = " ".join(result.warnings)
    assert "spacer of 14.197 mm kept, 72 slats would end 86.4 mm short of the run" in said
    assert "Set out again: 74 slats (+2), gap 13.819 mm; keeping 72 slats the gap would be 15.4 mm" in said
    assert "Slats came out 15.5 mm deep, not the wished 16" in said


def test_setting_out_again_says_what_becomes_of_the_boards() -> None:
    said = " ".join(placed(WORKED, {"as_machined_mm": {"width": 43.9, "depth": 16}}).warnings)
    assert "72 slats (±0), gap 14.299 mm; joints move by less than half their clearance" in said
    kept = placed(WORKED, {"as_machined_mm": {"width": 44, "depth": 16}})
    assert "came out" not in " ".join(kept.warnings)


def test_level_slats_as_machined_move_level_joints() -> None:
    """One slat more, so that a joint behind the same slat as planned is up to a pitch away."""
    slats = {"run": "level", "width_mm": 40, "gap_mm": 20, "as_machined_mm": {"width": 39, "depth": 16}}
    result = placed({"height_mm": 2400}, slats, panels={"sheet_mm": [1220, 4300]})
    (said,) = result.warnings
    assert "41 slats (+1)" in said
    assert "joints move by up to 52.6 mm: boards already cut no longer fit" in said


def test_wished_slats_that_would_not_have_fitted_are_no_plan() -> None:
    slats = {"width_mm": 60, "gap_mm": 20, "as_machined_mm": {"width": 49, "depth": 16}}
    result = placed({"width_mm": 110}, slats)
    assert "with the wished width nothing would have fitted" in " ".join(result.warnings)


@pytest.mark.parametrize(
    ("wall", "slats"),
    [({"width_mm": 100}, {"width_mm": 120}), ({"skirting_mm": 2600}, {}), ({}, {"gap_range_mm": [300, 310]})],
)
def test_what_the_checks_refuse_is_not_set_out(wall: dict[str, Any], slats: dict[str, Any]) -> None:
    with pytest.raises(NothingFitsError):
        set_out(**job(wall, slats))


def test_a_kept_spacer_is_flagged_whatever_the_spacing() -> None:
    """29 slats of 40 with a spacer of 20 fill 1720; half a millimetre narrower they leave a gap of 14.5."""
    made = {"width_mm": 40, "gap_mm": 20, "spacers_mm": [20], "as_machined_mm": {"width": 39.5, "depth": 16}}
    result = placed({"width_mm": 1720}, {**made, "spacing": "spacer", "closing": "gap"})
    assert "with the planned spacer of 20 mm kept, 29 slats would end 14.5 mm short" in " ".join(
        result.warnings
    )


def test_level_slats_fill_the_height() -> None:
    result = placed({"width_mm": 2000, "height_mm": 400}, {"run": "level", "width_mm": 40, "gap_mm": 20})
    assert [slat.extent.bottom for slat in result.slats] == [60 * index for index in range(7)]
    assert {(slat.extent.left, slat.extent.width) for slat in result.slats} == {(0, 2000)}


def test_areas_by_hand() -> None:
    socket = {"kind": "socket", "left_mm": 120, "bottom_mm": 450, "width_mm": 100, "height_mm": 80}
    wall = {"width_mm": 412, "height_mm": 1000, "right": {"meets": "open", "trim_mm": 12}}
    result = placed(wall, {"width_mm": 40, "gap_mm": 20}, openings=[socket])
    assert areas(result) == {
        "slat_front": 7 * 40 * 1000 - 2 * 40 * 80,
        "slat_side": 2 * 16 * (7 * 1000 - 2 * 80),
        "slat_end": 2 * 40 * 16 * 9,
        "slat_back": 7 * 40 * 1000 - 2 * 40 * 80,
        "fabric": 400 * 1000 - 100 * 80,
        "panel_edge": 12 * (2 * (398 + 998) + 2 * (100 + 80)),  # 1 mm of cloth round every edge
        "trim": 12 * 1000 + 2 * 29 * 1000,
        "shadow_gap": 0,
        "skirting": 0,
        "plate": 100 * 80,
    }


def test_the_report_rounds_each_position_once() -> None:
    report = as_json(placed(WORKED, {}))
    assert report["gap_exact"] == "1008/71"
    assert (report["gap_mm"], report["pitch_mm"], report["run_mm"]) == (14.197, 58.197, 4176)
    assert report["build_up_mm"] == 29
    exact = [12 + index * Fraction(4132, 71) for index in range(72)]
    assert [one["left_mm"] for one in report["slats"]] == [float(round(left, 3)) for left in exact]
    assert report["slats"][0] == {
        "slat": 0,
        "panel": 0,
        "left_mm": 12,
        "width_mm": 44,
        "bottom_mm": 0,
        "top_mm": 2550,
    }
