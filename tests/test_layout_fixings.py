"""No-drill bands, loose slats and fixing points."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from laid_out import WORKED, placed, problems, said

from meshes.layout.fixings import spread_alike
from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect


def band(result: SetOut, why: str) -> Rect:
    return next(one.rect for one in result.bands if one.why == why)


def test_bands_of_bs_7671() -> None:
    """BS 7671, regulation 522.6.202: 150 mm at ceiling and corners; straight up, down and across."""
    result = placed(WORKED, openings=[{}])
    assert band(result, "ceiling") == Rect(
        left=Fraction(0), bottom=Fraction(2400), width=Fraction(4200), height=Fraction(150)
    )
    corner = band(result, "left corner")
    assert (corner.left, corner.width, corner.height) == (0, 150, 2550)
    assert "right corner" not in [one.why for one in result.bands]  # an open end is no corner
    upright = band(result, "above and below the socket at 1480 mm")
    assert (upright.left, upright.right, upright.bottom, upright.top) == (1480, 1626, 0, 2550)
    level = band(result, "beside the socket at 1480 mm")
    assert (level.left, level.right, level.bottom, level.top) == (0, 4200, 450, 536)


def test_a_window_carries_no_cables() -> None:
    window = {"kind": "window", "bottom_mm": 900, "width_mm": 1000, "height_mm": 1000}
    assert not [one for one in placed(openings=[window]).bands if "window" in one.why]


def test_no_fixing_lies_in_a_band() -> None:
    zone = {"kind": "no_drill", "left_mm": 3000, "bottom_mm": 1000, "width_mm": 600, "height_mm": 900}
    result = placed(WORKED, openings=[{}, {"left_mm": 2500, "bottom_mm": 1100}], zones=[zone])
    points = [point for panel in result.panels for point in panel.fixings]
    assert len(points) > 20
    for point in points:
        for one in result.bands:
            inside = one.rect.left <= point.x <= one.rect.right and one.rect.bottom <= point.y <= one.rect.top
            assert not inside, (point, one)


def test_fixing_points_are_under_loose_slats_and_on_their_own_panel() -> None:
    result = placed(WORKED, openings=[{}])
    for panel in result.panels:
        loose = {point.slat for point in panel.fixings}
        assert len(loose) >= 2  # common practice
        for point in panel.fixings:
            slat = result.slats[point.slat]
            assert slat.loose
            assert slat.panel == panel.index
            assert any(p.left < point.x < p.right and p.bottom < point.y < p.top for p in slat.pieces)
            assert panel.board.left < point.x < panel.board.right


def test_fixing_points_are_at_most_nine_hundred_apart() -> None:
    result = placed(WORKED, openings=[{}])
    for panel in result.panels:
        for slat in {point.slat for point in panel.fixings}:
            heights = sorted(point.y for point in panel.fixings if point.slat == slat)
            assert all(after - before <= 900 for before, after in pairwise(heights))


def test_a_band_that_is_too_wide_to_bridge_is_reported() -> None:
    zone = {"kind": "no_drill", "left_mm": 0, "bottom_mm": 600, "width_mm": 4200, "height_mm": 1000}
    assert "fixing points leave 1010 mm between them, over 900" in said(placed(zones=[zone]))


def test_no_loose_slat_at_joints_ends_or_beside_an_accessory() -> None:
    result = placed(WORKED, openings=[{}])
    loose = {slat.index for slat in result.slats if slat.loose}
    joints = [(a.board.right + b.board.left) / 2 for a, b in pairwise(result.panels)]
    for index in loose:
        extent = result.slats[index].extent
        assert not any(extent.left <= joint <= extent.right for joint in joints)
        assert 0 < index < len(result.slats) - 1
        assert extent.right <= 1480 - result.gap or extent.left >= 1626 + result.gap


def test_no_loose_slat_where_light_grazes_the_face() -> None:
    plain = placed(WORKED)
    index = plain.panels[2].fixings[0].slat
    at = plain.slats[index].extent.left
    zone = {"kind": "raking_light", "left_mm": float(at), "bottom_mm": 0, "width_mm": 30, "height_mm": 2550}
    assert not placed(WORKED, zones=[zone]).slats[index].loose


def test_fixing_points_are_on_studs() -> None:
    """Studs every 400 mm; a screw holds within 12 mm of a stud's middle (common practice)."""
    studs = [200 + 400 * index for index in range(10)]
    result = placed(
        {"build": "board_on_studs", "studs_mm": studs}, panels={"max_width_mm": 1200, "max_weight_kg": 99}
    )
    points = [point for panel in result.panels for point in panel.fixings]
    assert points
    assert all(min(abs(point.x - stud) for stud in studs) <= 12 and point.on_stud for point in points)


def test_too_few_studs_behind_slats_are_reported() -> None:
    result = placed({"build": "board_on_studs", "studs_mm": [600, 1800, 3000]})
    assert "loose slats can stand away from joints, ends, accessories" in said(result)


def test_level_slats_are_fixed_where_they_cross_studs() -> None:
    studs = [100 + 600 * index for index in range(7)]
    result = placed({"studs_mm": studs}, {"run": "level"}, panels={"sheet_mm": [1220, 4300]})
    points = [point for panel in result.panels for point in panel.fixings]
    assert points
    assert all(min(abs(point.x - stud) for stud in studs) <= 12 for point in points)


def test_a_person_clears_a_point_by_name() -> None:
    """Within 150 mm of the ceiling, but under slat 1 and looked into by the electrician."""
    at = placed(WORKED).slats[1].extent
    middle = at.left + at.width / 2
    point = {"left_mm": float(middle), "bottom_mm": 2480, "by": "the electrician"}
    result = placed(WORKED, panels={"cleared": [point]})
    (cleared,) = [p for panel in result.panels for p in panel.fixings if p.cleared_by]
    assert (cleared.slat, cleared.y, cleared.cleared_by) == (1, 2480, "the electrician")


def test_a_cleared_point_must_be_behind_a_slat() -> None:
    point = {"left_mm": 50, "bottom_mm": 2480, "by": "the electrician"}
    ((path, message),) = problems(
        {"width_mm": 400}, {"width_mm": 40, "gap_mm": 20}, panels={"cleared": [point]}
    )
    assert path == "panels.cleared[0]"
    assert message == "50, 2480 is not behind a slat; the nearest has its middle at 20"


free_spans = st.lists(st.integers(0, 400), min_size=2, max_size=12, unique=True).map(
    lambda edges: [
        (Fraction(low), Fraction(high))
        for low, high in zip(sorted(edges)[::2], sorted(edges)[1::2], strict=False)
    ]
)


@settings(deadline=None, max_examples=100)
@given(free_spans, st.integers(20, 150))
def test_points_along_a_level_slat_are_near_enough_and_mirror(
    allowed: list[tuple[Fraction, Fraction]], spacing: int
) -> None:
    """No two neighbours further apart than asked, unless nothing between them may be drilled."""
    points = spread_alike(allowed, Fraction(spacing))
    assert all(any(low <= point <= high for low, high in allowed) for point in points)
    for before, after in pairwise(points):
        if after - before > spacing:
            assert not any(low < after and high > before for low, high in allowed if high > low)
            assert not any(before < place < after for span in allowed for place in span)
    mirror = [(400 - high, 400 - low) for low, high in reversed(allowed)]
    assert spread_alike(mirror, Fraction(spacing)) == [400 - point for point in reversed(points)]
