"""Slats swept to a ceiling that is not level."""

from fractions import Fraction

from laid_out import placed, problems

from meshes.layout.areas import areas, slant
from meshes.layout.report import as_json


def test_swept_slats_follow_the_ceiling() -> None:
    """The ceiling rises 21 mm over 4200, 1 mm in 200: a slat of 44 is 0.22 mm longer at its right edge."""
    result = placed({"ceiling": "swept", "ceiling_out_of_level_mm": 21})
    for slat in result.slats:
        low, high = 2550 + slat.extent.left / 200, 2550 + slat.extent.right / 200
        assert slat.extent.top == low
        assert slat.rise == (0, high - low) == (0, Fraction(44, 200))
        assert slat.sides_of(slat.pieces[-1]) == (low, high)
    (entry,) = [one for one in as_json(result)["slats"] if one["slat"] == 0]
    assert (entry["top_mm"], entry["top_left_mm"], entry["top_right_mm"]) == (2550, 2550, 2550.22)
    assert (entry["longer_side_mm"], entry["shorter_side_mm"]) == (2550.22, 2550)
    assert entry["off_square_deg"] == 0.29  # atan(1/200) = 0.2865 degrees
    assert "off_square_deg" not in as_json(placed())["slats"][0]
    tops = [panel.outline.top for panel in result.panels]
    assert tops == [2550 + panel.outline.left / 200 for panel in result.panels]


def test_slats_under_a_ceiling_that_sags_in_the_middle() -> None:
    result = placed({"ceiling": "swept", "height_mm": {"left": 2550, "middle": 2540, "right": 2550}})
    over = next(s for s in result.slats if s.extent.left < 2100 < s.extent.right)
    assert over.extent.top == 2540
    assert over.rise[0] == 0 or over.rise[1] == 0
    for slat in result.slats:
        # a straight cut from corner to corner stays under the ceiling, and touches it
        left, right = (slat.extent.top + rise for rise in slat.rise)
        under = [2550 - abs(2100 - abs(x - 2100)) / 210 for x in (slat.extent.left, slat.extent.right)]
        assert all(one <= ceiling for one, ceiling in zip((left, right), under, strict=True))
        assert slat is over or (left, right) == tuple(under)
    assert result.slats[0].extent.top < 2550 - Fraction(44, 210) + Fraction(1, 10)
    assert result.slats[0].extent.top == result.slats[-1].extent.top


def test_a_swept_end_is_as_long_as_its_slope() -> None:
    """Over 400 mm the ceiling rises 300: tops of 40 rise 30, and their cuts are 50 long (3 : 4 : 5)."""
    result = placed(
        {"width_mm": 400, "height_mm": 2000, "ceiling": "swept", "ceiling_out_of_level_mm": 300},
        {"width_mm": 40, "depth_mm": 16, "gap_mm": 20},
        openings=[{"left_mm": 100, "width_mm": 100}],
    )
    pieces = [piece for slat in result.slats for piece in slat.pieces]
    assert len(pieces) > len(result.slats) == 7
    found = areas(result)
    assert found["slat_end"] == 16 * (2 * 40 * len(pieces) + 7 * (50 - 40))
    whole = [slat for slat in result.slats if len(slat.pieces) == 1]
    tops = sum(2000 + (slat.extent.left + slat.extent.right) * 3 / 8 for slat in result.slats)
    holes = sum(slat.pieces[1].bottom - slat.pieces[0].top for slat in result.slats if slat not in whole)
    assert found["slat_front"] == 40 * (tops - holes)
    assert found["slat_side"] == 2 * 16 * (tops - holes)


def test_a_slope_of_no_whole_number_is_long_to_a_millionth() -> None:
    assert slant(Fraction(44), Fraction(0)) == 44
    assert slant(Fraction(44), Fraction(-33)) == slant(Fraction(44), Fraction(33)) == 55
    diagonal = slant(Fraction(1), Fraction(1))
    assert diagonal**2 <= 2 < (diagonal + Fraction(1, 1_000_000)) ** 2


def test_level_slats_are_not_swept() -> None:
    ((path, message),) = problems({"ceiling": "swept"}, {"run": "level"})
    assert (path, message) == (
        "wall.ceiling",
        'level slats cannot be swept to the ceiling; give "plain", "shadow" or "trim"',
    )


ATTIC = {"ceiling": "swept", "height_mm": {"left": 1400, "middle": 2000, "right": 2600}}


def door(left: int) -> dict[str, object]:
    return {"kind": "door", "left_mm": left, "bottom_mm": 0, "width_mm": 800, "height_mm": 2040}


def test_an_opening_may_be_as_high_as_the_ceiling_over_it() -> None:
    """The ceiling rises 2 in 7 over 4200: 2257.14 at the door's left side, and 1542.86 at 500."""
    assert problems(ATTIC, openings=[door(500)]) == [
        (
            "openings[0].height_mm",
            "2040 from 0 reaches 2040, beyond the ceiling over it, at 1542.8; give at most 1542.8",
        )
    ]
    assert problems(ATTIC, openings=[door(3000)]) == []
    result = placed(ATTIC, openings=[door(3000)])
    over = [slat for slat in result.slats if slat.extent.left > 3010 and slat.extent.right < 3790]
    assert len(over) > 10
    for slat in over:
        (piece,) = slat.pieces
        assert (piece.bottom, piece.top) == (2040, 1400 + slat.extent.left * 2 / 7)
    for panel in result.panels:
        for hole in panel.cutouts:
            assert hole.top == min(2040, panel.board.top)
