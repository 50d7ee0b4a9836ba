"""No-drill bands, fixing points, boards and strips under ceilings that are not level."""

from fractions import Fraction
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st
from laid_out import placed, problems, said
from made_up import LAWS, Json, jobs, laid
from test_layout_laws import mirrored

from meshes.layout.bands import drop_under
from meshes.layout.levels import Line
from meshes.layout.placed import SetOut
from meshes.layout.rect import Rect
from meshes.layout.report import as_json
from meshes.layout.words import mm, numbered

Place = tuple[Fraction, Fraction]


def ceiling_of(wall: Json) -> Line:
    """The ceiling as measured, by hand: heights from the floor there, y from the floor's left end."""
    width, rise = Fraction(wall["width_mm"]), Fraction(wall.get("floor_out_of_level_mm", 0))
    height = wall["height_mm"]
    if isinstance(height, dict):
        left, middle, right = (Fraction(height[place]) for place in ("left", "middle", "right"))
        return Line(width=width, left=left, middle=middle + rise / 2, right=right + rise)
    fall, left = Fraction(wall.get("ceiling_out_of_level_mm", 0)), Fraction(height)
    return Line(width=width, left=left, middle=left + fall / 2, right=left + fall)


def to_line(x: Fraction, y: Fraction, one: Place, two: Place) -> float:
    """Distance from a place to a stretch of line between two others."""
    along = (float(two[0] - one[0]), float(two[1] - one[1]))
    share = (float(x - one[0]) * along[0] + float(y - one[1]) * along[1]) / (along[0] ** 2 + along[1] ** 2)
    share = min(max(share, 0), 1)
    off = (float(x - one[0]) - share * along[0], float(y - one[1]) - share * along[1])
    return float((off[0] ** 2 + off[1] ** 2) ** 0.5)


@st.composite
def sloping(draw: st.DrawFn, **slats: str) -> Json:
    """A sound job under a ceiling, and perhaps over a floor, out of level."""
    made = draw(jobs(slats=slats) if slats else jobs())
    wall = made["wall"]
    level = made["slats"]["run"] == "level"
    wall["ceiling"] = "plain" if level else draw(st.sampled_from(["plain", "swept"]))
    wall["floor_out_of_level_mm"] = draw(st.sampled_from([0, 0, 25, -40]))
    height, rises = wall["height_mm"], st.integers(0, 900)
    wall["height_mm"] = {name: height + draw(rises) for name in ("left", "middle", "right")}
    return made


@LAWS
@given(made=sloping())
def test_no_fixing_is_within_150_mm_of_the_ceiling(made: Json) -> None:
    result, ceiling = laid(made), ceiling_of(made["wall"])
    width = ceiling.width
    places = ((Fraction(0), ceiling.left), (width / 2, ceiling.middle), (width, ceiling.right))
    for panel in result.panels:
        for point in panel.fixings:
            assert point.y <= ceiling.at(point.x) - 150
            for one, two in pairwise(places):
                assert to_line(point.x, point.y, one, two) >= 150


@LAWS
@given(made=sloping())
def test_no_fixing_is_within_150_mm_of_a_wall_that_leans(made: Json) -> None:
    """x counts from where the wall at an end stands furthest in: at the foot or at the head."""
    result, wall = laid(made), made["wall"]
    high = ceiling_of(wall).highest
    for end, side in ((wall["left"], 1), (wall["right"], -1)):
        if end["meets"] == "open":
            continue
        lean = Fraction(end["out_of_plumb_mm"])
        start = Fraction(0) if side == 1 else result.wall_width
        foot, head = ((start - side * max(out, 0), y) for out, y in ((lean, 0), (-lean, high)))
        for point in (point for panel in result.panels for point in panel.fixings):
            assert to_line(point.x, point.y, foot, head) >= 150


def ceiling_band(result: SetOut) -> tuple[Fraction, ...]:
    (band,) = [one for one in result.bands if one.why == "ceiling"]
    assert band.lower is not None
    return band.lower.left, band.lower.middle, band.lower.right, band.rect.bottom, band.rect.top


def test_the_band_under_a_ceiling_follows_it() -> None:
    """3 in 4 is steep, and easy: 150 mm square to it are 150 × 5 / 4 = 187.5 straight down."""
    steep = {"width_mm": 400, "height_mm": 2000, "ceiling_out_of_level_mm": 300}
    for ceiling in ("plain", "swept"):
        result = placed({**steep, "ceiling": ceiling}, {"width_mm": 20, "gap_mm": 20})
        assert ceiling_band(result) == (1812.5, 1962.5, 2112.5, 1812.5, 2300)
    # never less than 150, and a thousandth is as near as a saw can tell
    slight = Line(width=Fraction(4200), left=Fraction(2100), middle=Fraction(2277), right=Fraction(2454))
    assert drop_under(slight) == Fraction(150532, 1000)  # 150 × sqrt(1 + (354 / 4200)²) = 150.53186…
    level = Line(width=Fraction(4200), left=Fraction(2550), middle=Fraction(2550), right=Fraction(2550))
    assert drop_under(level) == 150


def test_bands_stand_as_high_as_the_ceiling_over_them() -> None:
    result = placed({"ceiling_out_of_level_mm": 420}, openings=[{}])
    tops = {band.why: band.rect.top for band in result.bands}
    assert tops["left corner"] == 2565
    assert tops["right corner"] == 2970
    assert tops["above and below the socket at 1480 mm"] == 2550 + Fraction(1626, 10)


def test_the_lower_edge_is_told_where_it_slopes() -> None:
    result = placed({"height_mm": {"left": 2500, "middle": 2400, "right": 2500}})
    ceiling = as_json(result)["no_drill"][0]
    assert ceiling["why"] == "ceiling"
    ends = [ceiling[f"bottom_{name}_mm"] for name in ("left", "middle", "right")]
    assert ends == [2349.83, 2249.83, 2349.83]  # 150 × sqrt(1 + (100 / 2100)²) = 150.170 rounded up
    assert "bottom_left_mm" not in as_json(placed())["no_drill"][0]


@LAWS
@given(made=sloping(run="upright"))
def test_every_fixing_is_on_its_panels_board(made: Json) -> None:
    """At least 50 mm from the edge of the board as it stands, which is cut level under the ceiling."""
    result = laid(made)
    for panel in result.panels:
        outline = panel.outline
        for point in panel.fixings:
            assert outline.left < point.x < outline.right
            assert outline.bottom + 50 <= point.y <= outline.top - 50


LOW_ATTIC = {"width_mm": 1400, "height_mm": 1300, "ceiling_out_of_level_mm": 480, "ceiling": "swept"}
"""The ceiling rises 12 in 35."""


def test_fixings_stay_on_a_board_that_is_lower_than_its_slats() -> None:
    result = placed(LOW_ATTIC)
    held = 0
    for panel in result.panels:
        assert panel.outline.top == 1300 + panel.outline.left * Fraction(12, 35)
        for point in panel.fixings:
            assert point.y <= panel.outline.top - 50
            # the band alone would let it go up over the board
            held += 1300 + point.x * Fraction(12, 35) - 165 > panel.outline.top - 50 == point.y
    assert held


def test_slats_that_stand_far_over_their_board_are_named() -> None:
    result = placed(LOW_ATTIC)
    far = [
        (slat.index + 1, over)
        for slat in result.slats
        if (over := slat.extent.top + max(slat.rise) - result.panels[slat.panel].outline.top) > 100
    ]
    assert 5 < len(far) < len(result.slats)
    (words,) = [one for one in result.warnings if "over the level tops of their boards" in one]
    assert words.startswith(numbered("Slat", "Slats", [number for number, _over in far]))
    assert f"stand up to {mm(max(over for _number, over in far))} mm over" in words
    assert "over the level tops" not in said(placed({"ceiling": "swept", "ceiling_out_of_level_mm": 21}))


def test_a_piece_that_hardly_reaches_its_board_is_named() -> None:
    """Over a window whose head is just under the board's top: the piece over it hangs in the air."""
    plain = placed(LOW_ATTIC)
    panel = plain.panels[0]
    slat = plain.slats[panel.slats[-2]]
    top = float(panel.outline.top)
    window = {
        "kind": "window",
        "left_mm": float(slat.extent.left) - 2,
        "bottom_mm": 600,
        "width_mm": 48,
        "height_mm": top - 20 - 600,
    }
    words = said(placed(LOW_ATTIC, openings=[window]))
    assert f"Slat {slat.index + 1} has a piece with less than half of it on its board" in words
    assert "less than half" not in said(plain)


def test_a_cleared_point_over_the_board_is_refused() -> None:
    result = placed(LOW_ATTIC)
    slat = next(one for one in result.slats if one.extent.top > result.panels[one.panel].outline.top + 60)
    top = result.panels[slat.panel].outline.top
    at = {"left_mm": float(slat.extent.left + 20), "by": "the electrician"}
    over, on = {**at, "bottom_mm": float(top) + 20}, {**at, "bottom_mm": float(top) - 20}
    ((path, words),) = problems(LOW_ATTIC, panels={"cleared": [on, over]})
    assert path == "panels.cleared[1].bottom_mm"
    assert words.endswith(f"lies over the board behind the slat; give less than {mm(top)}")


def test_every_panel_weighs_what_its_own_board_and_slats_do() -> None:
    """Board 12 mm at 750 kg/m3, slats 16 mm at 520: openings left in, cloth counted as board."""
    result = placed({**LOW_ATTIC, "height_mm": 1000, "right": {"meets": "open"}})
    for panel in result.panels:
        outline = panel.outline
        board = outline.width * (1000 + outline.left * Fraction(12, 35)) * 12 * 750
        slats = [result.slats[index].extent for index in panel.slats]
        timber = sum(44 * (1000 + (one.left + 22) * Fraction(12, 35)) * 16 * 520 for one in slats)
        assert panel.weight_kg == (board + timber) / 1_000_000_000
    assert result.panels[0].weight_kg < result.panels[-2].weight_kg


def test_what_a_person_carries_divides_only_where_the_ceiling_is_high() -> None:
    """At 1500 mm seven tenths of a metre weigh 14 kg, at 2700 mm 25 kg: over a limit of 20 only there."""
    rising = {"height_mm": {"left": 1500, "middle": 2100, "right": 2700}, "ceiling": "swept"}
    result = placed(rising, panels={"max_weight_kg": 20, "sheet_mm": [1220, 2800]})
    assert max(panel.weight_kg for panel in result.panels) <= 20
    # as many as would carry the highest panel everywhere are not needed
    highest = placed({"height_mm": 2700}, panels={"max_weight_kg": 20, "sheet_mm": [1220, 2800]})
    assert len(result.panels) < len(highest.panels)


@LAWS
@given(made=sloping(run="upright"))
def test_under_a_sloping_ceiling_a_mirrored_survey_gives_the_mirrored_set_out(made: Json) -> None:
    """Heights turn round with the wall; a floor out of level would move y = 0 to its other end."""
    made["wall"]["floor_out_of_level_mm"] = 0
    turned, heights = mirrored(made), made["wall"]["height_mm"]
    swapped = {"left": heights["right"], "middle": heights["middle"], "right": heights["left"]}
    turned["wall"] = {**turned["wall"], "height_mm": swapped}
    one, other = laid(made), laid(turned)
    width = one.wall_width

    def flip(rect: Rect) -> Rect:
        return Rect(left=width - rect.right, bottom=rect.bottom, width=rect.width, height=rect.height)

    assert {(slat.extent, slat.rise, slat.loose) for slat in one.slats} == {
        (flip(slat.extent), slat.rise[::-1], slat.loose) for slat in other.slats
    }
    assert {(panel.outline, panel.weight_kg) for panel in one.panels} == {
        (flip(panel.outline), panel.weight_kg) for panel in other.panels
    }
    points = [
        {(point.x, point.y) for panel in each.panels for point in panel.fixings} for each in (one, other)
    ]
    assert points[0] == {(width - x, y) for x, y in points[1]}
    assert {(strip.rect, strip.rise) for strip in one.shadow_gaps} == {
        (flip(strip.rect), strip.rise[::-1]) for strip in other.shadow_gaps
    }
    assert {band.rect for band in one.bands} == {flip(band.rect) for band in other.bands}
