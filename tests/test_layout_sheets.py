"""Counting sheets for many different boards, and walls whose slats are too fine for boards of their own."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from laid_out import placed, problems, said
from pydantic import ValidationError

from meshes.layout.sheets import count_sheets


def opened_one_by_one(sizes: dict[int, int], room: int) -> int:
    """First-fit decreasing as it is described: each piece into the fullest bin that still takes it."""
    bins: list[int] = []
    for size in sorted(sizes, reverse=True):
        for _ in range(sizes[size]):
            fitting = [space for space in bins if space >= size]
            if fitting:
                bins.remove(min(fitting))
                bins.append(min(fitting) - size)
            else:
                bins.append(room - size)
    return len(bins)


@settings(deadline=None, max_examples=100)
@given(st.dictionaries(st.integers(1, 60), st.integers(1, 9), min_size=1, max_size=12))
def test_rows_are_filled_as_first_fit_decreasing_fills_them(sizes: dict[int, int]) -> None:
    """One row a sheet, so that sheets are rows."""
    boards = {(size, 40): count for size, count in sizes.items()}
    assert count_sheets(boards, (60, 40), 0) == opened_one_by_one(sizes, 60)


def test_slats_too_fine_for_a_board_each_share_boards_wider_than_asked_for() -> None:
    """A pitch of 5.1 under a joint clearance of 50 leaves nothing of a board a slat: one board takes all."""
    result = placed(
        {"width_mm": 500, "height_mm": 600},
        {"width_mm": 5, "gap_mm": 0.1},
        panels={"max_width_mm": 1, "joint_clearance_mm": 50},
    )
    assert len(result.panels) == 1
    assert "wider than the 1 mm allowed" in said(result)


def test_a_fixing_pitch_and_a_sheet_that_no_workshop_has_are_refused_by_their_limits() -> None:

    for panels in ({"fixing_spacing_mm": 1}, {"sheet_mm": [13, 2440]}):
        with pytest.raises(ValidationError, match="is outside the accepted"):
            problems(panels=panels)


def test_loose_slats_are_those_nearest_to_where_the_panel_wants_them() -> None:
    """Two a panel, at a quarter and three quarters of it; the nearer to the datum on a tie."""
    result = placed(
        {"width_mm": 1000},
        {"width_mm": 40, "gap_mm": 20},
        panels={"max_width_mm": 1000, "max_weight_kg": 1000},
    )
    (panel,) = result.panels
    loose = [slat.extent for slat in result.slats if slat.loose and slat.index != len(result.slats) - 1]
    for share, extent in zip((Fraction(1, 4), Fraction(3, 4)), loose, strict=True):
        ideal = panel.outline.left + panel.outline.width * share
        middles = [slat.extent.left + slat.extent.width / 2 for slat in result.slats[1:-1]]
        nearest = min(middles, key=lambda middle: abs(middle - ideal))
        assert extent.left + extent.width / 2 == nearest
