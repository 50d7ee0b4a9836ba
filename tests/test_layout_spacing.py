"""Spacing: the choices that work, ranked with reasons; what is rejected, with the rule's exact sentence."""

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from laid_out import WORKED, placed, problems

from meshes.layout.alternative import Alternative
from meshes.layout.placed import SetOut

TWENTY: dict[str, Any] = {"width_mm": 40, "gap_mm": 20, "spacers_mm": [20]}
"""Slats of 40 with a spacer of 20: five whole ones take 280."""


def spaces(result: SetOut) -> list[Fraction]:
    """Everything along the run that is not slat, from left to right, first and last end included."""
    edges = [result.face.left]
    for slat in result.slats:
        edges += [slat.extent.left, slat.extent.right]
    edges.append(result.face.right)
    return [after - before for before, after in zip(edges[::2], edges[1::2], strict=True)]


def widths(result: SetOut) -> list[Fraction]:
    return [slat.extent.width for slat in result.slats]


def of_kind(result: SetOut, kind: str) -> list[Alternative]:
    return [choice for choice in result.alternatives if choice.kind == kind]


@pytest.mark.parametrize(
    ("run", "slats", "rule"),
    [
        (326, TWENTY, "Closing slat of 26 mm is under two thirds of a slat (26.7 mm)."),
        (304.5, {**TWENTY, "width_mm": 36}, "Closing slat of 24.5 mm is under 25 mm."),
        (295, TWENTY, "Closing slat: after a gap of 20 mm none of the remaining 15 mm is left for it."),
        (290, TWENTY, "Closing gap of 10 mm is under 0.6 of the gap (12 mm)."),
        (310, TWENTY, "Closing gap of 30 mm is over 1.4 of the gap (28 mm)."),
        (
            400,
            {**TWENTY, "gap_range_mm": [18, 22]},
            "Gap of 32 mm lies outside the allowed 18 to 22 mm.",
        ),
    ],
)
def test_what_is_rejected_names_its_rule(run: float, slats: dict[str, Any], rule: str) -> None:
    result = placed({"width_mm": run}, slats)
    assert rule in [one.rule for one in result.rejected]


def test_a_taper_that_shows_is_rejected() -> None:
    """7 mm out of plumb beside a gap of 20: more than a third of it (common practice)."""
    leaning = {"width_mm": 400, "left": {"out_of_plumb_mm": 7}}
    (rule,) = {one.rule for one in placed(leaning, TWENTY).rejected if "taper" in one.rule and one.gap == 15}
    assert rule == "Visible taper of 7 mm at the left end is over a third of the gap (5 mm)."
    hidden = {"width_mm": 412, "left": {"out_of_plumb_mm": 7, "shadow_gap_mm": 12}}
    assert not [one for one in placed(hidden, TWENTY).rejected if "taper" in one.rule]


def test_a_shadow_gap_must_still_read_as_one() -> None:
    wall = {"width_mm": 325, "right": {"meets": "wall", "shadow_gap_mm": 10}}  # run 315: 35 are left
    rules = [one.rule for one in placed(wall, TWENTY).rejected]
    assert "Shadow gap of 45 mm at the right end is over 1.4 of the gap (28 mm)." in rules


def test_a_trim_is_not_wider_than_a_slat() -> None:
    wall = {"width_mm": 325, "right": {"meets": "open", "trim_mm": 10}}
    rules = [one.rule for one in placed(wall, TWENTY).rejected]
    assert "Trim of 45 mm at the right end is wider than a slat (40 mm)." in rules


def test_a_spacer_leaves_a_ripped_closing_slat() -> None:
    """Run 335: five slats and four gaps take 280, then a gap of 20 and a slat ripped to 35."""
    result = placed({"width_mm": 335}, {**TWENTY, "spacing": "spacer"})
    assert result.gap == 20
    assert widths(result) == [40, 40, 40, 40, 40, 35]
    assert spaces(result) == [0, 20, 20, 20, 20, 20, 0]
    assert result.chosen is not None
    assert (
        result.chosen.reason
        == "Spacer of 20 mm from the datum: closing slat of 35 mm at the right end, ripped."
    )


def test_a_spacer_leaves_a_closing_gap() -> None:
    result = placed({"width_mm": 305}, {**TWENTY, "spacing": "spacer", "closing": "gap"})
    assert spaces(result) == [0, 20, 20, 20, 20, 25]


def test_a_spacer_gives_its_remainder_to_the_shadow_gaps() -> None:
    """Run 290 between two shadow gaps of 8: 10 are left, 5 more for each."""
    wall = {"width_mm": 306, "left": {"shadow_gap_mm": 8}, "right": {"shadow_gap_mm": 8}}
    result = placed(wall, {**TWENTY, "spacing": "spacer", "closing": "shadow_gap"})
    assert [strip.rect.width for strip in result.shadow_gaps] == [13, 13]
    assert (result.face.left, result.face.width) == (13, 280)
    assert spaces(result) == [0, 20, 20, 20, 20, 0]


def test_a_spacer_gives_its_remainder_to_the_trim() -> None:
    wall = {"width_mm": 302, "right": {"meets": "open", "trim_mm": 12}}
    result = placed(wall, {**TWENTY, "spacing": "spacer", "closing": "trim"})
    assert [(strip.side, strip.rect.width) for strip in result.trims] == [("right", 22)]
    assert spaces(result) == [0, 20, 20, 20, 20, 0]


def test_steps_of_half_a_millimetre_are_tried_where_no_spacer_is_owned() -> None:
    result = placed({"width_mm": 400}, {"width_mm": 40, "gap_mm": 19.8})
    tried = {
        one.gap for one in (*of_kind(result, "spacer"), *(r for r in result.rejected if r.kind == "spacer"))
    }
    assert {Fraction(39, 2), 20, Fraction(41, 2)} <= tried


@pytest.mark.parametrize(("centre_on", "middle_is_slat"), [("slat", True), ("gap", False)])
@pytest.mark.parametrize("run", [380, 410, 440, 1000])
def test_centred(run: int, centre_on: str, middle_is_slat: bool) -> None:
    result = placed({"width_mm": run}, {**TWENTY, "spacing": "centred", "centre_on": centre_on})
    found = [slat.extent for slat in result.slats]
    assert [extent.left for extent in found] == [run - extent.right for extent in reversed(found)]
    covered = any(extent.left < Fraction(run, 2) < extent.right for extent in found)
    assert covered == middle_is_slat
    assert sum(widths(result)) + sum(spaces(result)) == run


def test_centred_with_the_wished_gap_closes_alike_at_both_ends() -> None:
    """Run 380: five whole slats about the middle, then on each side a gap of 20 and a slat ripped to 30."""
    rips = [one for one in of_kind(placed({"width_mm": 380}, TWENTY), "centred") if one.start_slat]
    assert [(one.gap, one.start_slat, one.end_slat, one.whole) for one in rips] == [(20, 30, 30, 5)]


@pytest.mark.parametrize("centre_on", ["slat", "gap"])
def test_on_a_feature(centre_on: str) -> None:
    """A slat or gap with its middle exactly at the line, ends closed by the rules."""
    result = placed(
        {"width_mm": 2000},
        {**TWENTY, "spacing": "feature", "feature_mm": 700.5, "centre_on": centre_on},
    )
    line = Fraction(1401, 2)
    if centre_on == "slat":
        assert line in [slat.extent.left + slat.extent.width / 2 for slat in result.slats]
    else:
        before = max(slat.extent.right for slat in result.slats if slat.extent.right < line)
        after = min(slat.extent.left for slat in result.slats if slat.extent.left > line)
        assert (before + after) / 2 == line
    assert sum(widths(result)) + sum(spaces(result)) == 2000


def test_whole_slats_from_the_visible_end() -> None:
    wall = {"width_mm": 335, "right": {"meets": "open"}}
    result = placed(wall, {**TWENTY, "spacing": "visible_end"})
    assert widths(result) == [35, 40, 40, 40, 40, 40]
    assert result.slats[-1].extent.right == 335


def test_every_choice_adds_up_to_the_run() -> None:
    result = placed(WORKED, {"feature_mm": 2100, "spacers_mm": [13.7]})
    assert {"even", "spacer", "centred"} <= {choice.kind for choice in result.alternatives}
    for choice in result.alternatives:
        inside = choice.whole * choice.width + (choice.whole - 1) * choice.gap
        assert choice.start_space + inside + choice.end_space + sum(choice.widened) == 4176, choice


def test_choices_are_ranked_from_the_nearest_to_the_wish() -> None:
    result = placed(WORKED, {})
    evens = [abs(choice.gap - 14) for choice in of_kind(result, "even")]
    assert evens == sorted(evens)
    assert all(choice.reason.endswith(".") for choice in result.alternatives)


def test_the_spacer_is_a_measured_thickness_and_its_drift_and_resets_are_named() -> None:
    """71 gaps of 1008/71 with a spacer of 14.2 ± 0.1, and 72 slats ± 0.2: worked by hand below."""
    chosen = placed(WORKED, {}).chosen
    assert chosen is not None
    assert chosen.spacer == Fraction(142, 10)
    steady = 71 * (Fraction(142, 10) - Fraction(1008, 71) + Fraction(1, 10))
    scatter = Fraction(8485, 1000) * Fraction(1, 5)  # root of 72, rounded down to 0.001
    assert chosen.drift == steady + scatter
    assert chosen.reset_every == 5
    assert chosen.resets[:2] == (5 * Fraction(4132, 71), 10 * Fraction(4132, 71))


def test_better_tools_need_fewer_resets() -> None:
    fine = placed(WORKED, {"spacer_tolerance_mm": 0, "width_tolerance_mm": 0.05}).chosen
    assert fine is not None
    assert fine.reset_every > 5


def test_an_owned_spacer_near_the_gap_is_that_gaps_spacer() -> None:
    chosen = placed(WORKED, {"spacers_mm": [14.22]}).chosen
    assert chosen is not None
    assert chosen.spacer == Fraction(1422, 100)


def test_repeating_widths() -> None:
    result = placed({"width_mm": 1000}, {"gap_mm": 15, "pattern": {"widths_mm": [60, 30, 45]}})
    assert widths(result)[:6] == [60, 30, 45, 60, 30, 45]
    inner = spaces(result)[1:-1]
    assert set(inner) == {result.gap}
    assert sum(widths(result)) + sum(spaces(result)) == 1000


def test_doubled_slats() -> None:
    result = placed(
        {"width_mm": 1000}, {"width_mm": 30, "gap_mm": 25, "pattern": {"group": 2, "group_gap_mm": 6}}
    )
    inner = spaces(result)[1:-1]
    assert set(inner[::2]) == {6}
    assert set(inner[1::2]) == {result.gap}
    assert len(result.slats) % 2 == 0
    assert sum(widths(result)) + sum(spaces(result)) == 1000


def test_graded_gaps() -> None:
    """Eight slats of 40 in 1000: 680 for seven gaps from g to 3 g, whose mean is 2 g: g = 340/7."""
    result = placed({"width_mm": 1000}, {"width_mm": 40, "gap_mm": 97, "pattern": {"last_to_first": 3}})
    inner = spaces(result)[1:-1]
    assert len(result.slats) == 8
    assert inner[0] == Fraction(340, 7)
    assert inner[-1] == 3 * inner[0]
    assert len({after - before for before, after in pairwise(inner)}) == 1
    assert sum(widths(result)) + sum(spaces(result)) == 1000


def test_the_grid_is_shifted_so_that_plate_edges_fall_in_gaps() -> None:
    """34 slats of 40 with gaps of 640/33: unshifted, slats from 1009.7 and from 1069.1 on take both edges."""
    opening = {"left_mm": 1005, "width_mm": 70}
    asked = placed({"width_mm": 2000}, {**TWENTY, "shift_for_openings": True}, openings=[opening])
    edges = (1005, 1075)
    assert not [s for s in asked.slats if any(s.extent.left < edge < s.extent.right for edge in edges)]
    assert asked.chosen is not None
    assert asked.chosen.kind == "shifted"
    assert "2 of 2 plate edges fall in gaps instead of" in asked.chosen.reason
    assert sum(widths(asked)) + sum(spaces(asked)) == 2000
    offered = placed({"width_mm": 2000}, TWENTY, openings=[opening])
    assert of_kind(offered, "shifted")
    assert offered.chosen is not None
    assert offered.chosen.kind == "even"


def test_a_shift_avoids_short_pieces() -> None:
    """Between the two openings 60 mm of slat would be left over 30 mm of the run: a gap can hold that."""
    openings = [
        {"left_mm": 1000, "width_mm": 15, "bottom_mm": 400},
        {"left_mm": 1000, "width_mm": 15, "bottom_mm": 546},
    ]
    slats = {**TWENTY, "shift_for_openings": True}
    result = placed({"width_mm": 2000}, slats, openings=openings)
    assert result.chosen is not None
    assert "0 short pieces instead of" in result.chosen.reason
    assert min(piece.height for slat in result.slats for piece in slat.pieces) >= 100


@pytest.mark.parametrize(
    ("slats", "path", "message"),
    [
        (
            {"spacing": "feature"},
            "slats.feature_mm",
            'missing; spacing "feature" needs the line to centre on',
        ),
        (
            {"spacing": "visible_end"},
            "slats.spacing",
            '"visible_end" needs one open end; here are 0',
        ),
        (
            {"spacing": "spacer", "pattern": {"last_to_first": 2}},
            "slats.spacing",
            '"spacer" has one gap, and these are graded; set it to "even", or leave '
            "slats.pattern.last_to_first out",
        ),
        (
            {"datum": "top"},
            "slats.datum",
            'upright slats are measured from "left" or "right", not "top"',
        ),
        (
            {"width_mm": 40, "gap_mm": 20, "gap_range_mm": [16, 19]},
            "slats.gap_range_mm",
            '"even" does not work here: Gap of 20 mm lies outside the allowed 16 to 19 mm; nearest that '
            'does: 5 slats with a gap of 16 mm (slats.spacing "spacer", slats.closing "gap")',
        ),
        (
            {"width_mm": 40, "gap_mm": 20, "spacers_mm": [20.5], "spacing": "spacer"},
            "slats.spacing",
            '"spacer" does not work here: Closing slat: after a gap of 20.5 mm none of the remaining 17.5 mm '
            'is left for it; nearest that does: 5 slats with a gap of 20 mm (slats.spacing "spacer", '
            'slats.closing "gap")',
        ),
        (
            {"pattern": {"widths_mm": [40, 30]}, "as_machined_mm": {"width": 39, "depth": 16}},
            "slats.as_machined_mm",
            "goes with one width; give slats.pattern.widths_mm as machined",
        ),
    ],
)
def test_a_spacing_that_does_not_work_names_the_nearest_that_does(
    slats: dict[str, Any], path: str, message: str
) -> None:
    run = 299.5 if "20.5" in str(slats) else 280
    assert problems({"width_mm": run}, slats) == [(path, message)]


def test_a_gap_that_rounds_to_the_wish_is_said_to_be_within_a_tenth() -> None:
    """40 and 20: five slats in 280.1 leave 80.1 for four gaps, 20.025 each."""
    result = placed({"width_mm": 280.1}, {"width_mm": 40, "gap_mm": 20})
    assert result.chosen is not None
    assert result.chosen.reason.startswith("Even gap of 20 mm, the wish within 0.1 mm;")


def test_how_far_a_gap_is_off_the_wish_is_said_in_millimetres() -> None:
    """40 wide: five slats in 280 leave 80 for four gaps, 20 each, with 19.6 wished for."""
    result = placed({"width_mm": 280}, {"width_mm": 40, "gap_mm": 19.6})
    assert result.chosen is not None
    assert result.chosen.reason.startswith("Even gap of 20 mm, 0.4 mm over the wish;")
