"""The workshop's drawings: what is drawn stands where plan and set-out have it, to the stated scale."""

import re
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from laid_out import WORKED, placed

from finishes.catalogue import load
from finishes.fabric_cut import Board, fabric
from meshes.cutting.plan import Plan, first_cutting
from meshes.cutting.stock import Stock
from meshes.layout.placed import SetOut
from meshes.layout.rod import panel_rod
from meshes.layout.spacing import Panels
from viewer.drawings.backing import backing_drawing, piece_numbers
from viewer.drawings.bench import bench_drawing
from viewer.drawings.figures import figure
from viewer.drawings.fixing_plan import fixing_plan
from viewer.drawings.pen import LETTERING, words_width
from viewer.drawings.ripping import ripping_drawing
from viewer.drawings.scale import RULE_SERIES
from viewer.drawings.sheet_cutting import BALLOON, _free, sheet_drawing
from viewer.drawings.strips import strip_drawing
from viewer.drawings.true_rod import CHECK_MM, SIDE, true_rod
from viewer.sheets.ink import subpaths

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def wall() -> SetOut:
    return placed(WORKED, {"depth_mm": 20}, openings=[{}])


@pytest.fixture(scope="module")
def plan(wall: SetOut) -> Plan:
    return first_cutting([wall], stock=Stock(), panels=Panels(sheet_mm=(Fraction(1220), Fraction(3050))))


def texts(svg: str) -> list[str]:
    return [text.text or "" for text in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def scale_of(svg: str) -> float:
    return float(ElementTree.fromstring(svg).attrib["data-scale"])


def test_the_ripping_plan_draws_each_slat_once_with_kerf_between(plan: Plan) -> None:
    """By hand: 47 × 100 at 1 : 1, slats sawn 46 × 21, kerf 3: edges at 21, 45, 69, 93 and a rest of 4."""
    svg = ripping_drawing(plan.timber[0], width_mm=180, height_mm=120)
    root = ElementTree.fromstring(svg)
    assert scale_of(svg) == 1
    slats = [group for group in root.iter(f"{SVG}g") if group.get("data-mark") == "slat"]
    places = [
        (float(rect.attrib["y"]), float(rect.attrib["width"]), float(rect.attrib["height"]))
        for rect in (group.find(f"{SVG}rect") for group in slats)
        if rect is not None
    ]
    assert [(width, height) for _y, width, height in places] == [(46, 21)] * 4
    steps = [before - after for (before, _, _), (after, _, _) in pairwise(places)]
    assert steps == [24, 24, 24]
    assert {"21", "45", "69", "93", "100", "rest 46 × 4", "1 : 1"} <= set(texts(svg))


def test_a_strip_shows_its_pieces_and_stops() -> None:
    pieces = [(Fraction(50), Fraction(2480)), (Fraction(2483), Fraction(4913))]
    svg = strip_drawing(
        number=1, times=36, length=Fraction(5100), pieces=pieces, longest=Fraction(5100), width_mm=170
    )
    said = texts(svg)
    assert "Cut 1: 36 × strip of 5100 mm, 2 pieces each" in said
    assert said.count("2430") == 2
    assert {"50", "2480", "4913", "5100"} <= set(said)


def test_boards_lie_on_the_sheet_as_planned_and_every_cut_is_numbered(plan: Plan) -> None:
    assert plan.sheets is not None
    order = plan.sheets.order
    for layout in plan.sheets.layouts:
        svg = sheet_drawing(order, layout, plan.board_names, title="Sheet")
        scale = scale_of(svg)
        drawn = {
            (float(rect.attrib["width"]), float(rect.attrib["height"]))
            for rect in ElementTree.fromstring(svg).iter(f"{SVG}rect")
        }
        for board in layout.boards:
            size = (float(board.width) * scale, float(board.height) * scale)
            # coordinates are written to a thousandth of a millimetre of paper
            assert any(abs(w - size[0]) < 6e-4 and abs(h - size[1]) < 6e-4 for w, h in drawn)
            assert plan.board_names[board.board] in texts(svg)
        assert {str(number) for number in range(1, len(layout.cuts) + 1)} <= set(texts(svg))


def test_words_on_a_sheet_give_way_to_the_numbers_of_cuts() -> None:
    """A narrow offcut with a cut's balloon in the middle of its edge."""
    balloons = [(50.0, 10.0)]
    words = ["800 × 165"]
    assert _free((0, 0, 100, 40), words, balloons) == (0, 0, 100, 40)
    assert _free((0, 6, 100, 8), words, balloons) == (0, 6, 50, 8)
    assert _free((0, 6, 100, 8), words, [(50.0, 10.0), (25.0, 10.0)]) == (50, 6, 50, 8)
    assert _free((46, 0, 8, 100), words, [(50.0, 50.0)]) == (46, 0, 8, 50)
    # no half has room for the words: they stay where they were
    assert _free((0, 6, 30, 8), words, [(15.0, 10.0)]) == (0, 6, 30, 8)


def test_every_number_of_a_cut_stands_over_all_words() -> None:
    """Level slats on eight boards of two parts, four side by side on a sheet: turned words of 3 lines."""
    wall = placed({"width_mm": 3100, "height_mm": 2450}, {"run": "level", "width_mm": 60, "gap_mm": 12})
    plan = first_cutting([wall], stock=Stock(), panels=Panels())
    assert plan.sheets is not None
    for layout in plan.sheets.layouts:
        root = ElementTree.fromstring(
            sheet_drawing(plan.sheets.order, layout, plan.board_names, title="Sheet", width_mm=87)
        )
        parts = list(root)
        circles = [number for number, one in enumerate(parts) if one.get("r") == f"{BALLOON:g}"]
        assert len(circles) == len(layout.cuts)
        words = [number for number, one in enumerate(parts) if re.search("panel| × |turned", one.text or "")]
        assert len(words) >= 3 * len(layout.boards)
        assert max(words) < min(circles)
        for number in circles:
            cx, cy = float(parts[number].attrib["cx"]), float(parts[number].attrib["cy"])
            for place in words:
                x, y = float(parts[place].attrib["x"]), float(parts[place].attrib["y"])
                long = words_width(parts[place].text or "") / 2
                turned = "transform" in parts[place].attrib
                # turned words stand left of their baseline, level ones above it
                x, y = (x - LETTERING * 0.35, y) if turned else (x, y - LETTERING * 0.35)
                half = LETTERING * 0.35
                reach = (half, long) if turned else (long, half)
                assert abs(cx - x) >= reach[0] + BALLOON or abs(cy - y) >= reach[1] + BALLOON


def test_a_bench_sheet_names_every_loose_slat_and_dimensions_every_cut_out(wall: SetOut) -> None:
    for panel in wall.panels:
        svg = bench_drawing(wall, panel)
        said = texts(svg)
        assert any(abs(1 / scale_of(svg) - ratio) < 1e-6 for ratio in RULE_SERIES)
        for index in panel.slats:
            assert (f"{index + 1}L" in said) == wall.slats[index].loose
        assert {figure(panel.board.width), figure(panel.board.height)} <= set(said)
        for cut in panel.cutouts:
            own = panel.from_own_corner(cut)
            # an edge that is the board's own is where it is measured from
            edges = (own.left, own.right, own.bottom, own.top)
            assert {figure(edge) for edge in edges if edge > 0} <= set(said)
        root = ElementTree.fromstring(svg)
        points = [one for one in root.iter(f"{SVG}circle") if one.get("r") == "1.1"]
        assert len(points) == len(panel.fixings)


@pytest.mark.parametrize("side_by_side", [1, 3])
@pytest.mark.parametrize(("width", "gap"), [(44, 14), (38, 12), (24, 8), (12, 6)])
def test_numbers_over_slats_never_run_into_each_other(width: int, gap: int, side_by_side: int) -> None:
    """Also where several loose slats stand side by side."""
    made = placed(WORKED, {"width_mm": width, "gap_mm": gap}, openings=[{}])
    loose_too = {slat.index + more for slat in made.slats if slat.loose for more in range(side_by_side)}
    slats = tuple(replace(slat, loose=slat.index in loose_too) for slat in made.slats)
    made = replace(made, slats=slats)
    for panel in made.panels:
        svg = bench_drawing(made, panel)
        root = ElementTree.fromstring(svg)
        by_row: dict[float, list[tuple[float, float, str]]] = {}
        for text in root.iter(f"{SVG}text"):
            words = text.text or ""
            if re.fullmatch(r"\d+L?", words) and text.get("text-anchor") == "middle":
                row, x = float(text.attrib["y"]), float(text.attrib["x"])
                by_row.setdefault(row, []).append((x, words_width(words), words))
        assert min(by_row) > LETTERING - 0.5
        for numbers in by_row.values():
            for (x, wide, _words), (following, next_wide, _next) in pairwise(sorted(numbers)):
                assert following - x >= (wide + next_wide) / 2
        said = {words for numbers in by_row.values() for *_place, words in numbers}
        loose = {index for index in panel.slats if made.slats[index].loose}
        assert {f"{index + 1}L" for index in loose} <= said
        bold = [mark.index for mark in panel_rod(made, panel).marks if mark.kind == "slat" and mark.bold]
        if float(5 * made.pitch) * scale_of(svg) > words_width("00") + 1:
            assert {str(index + 1) for index in bold if index not in loose} <= said


def test_no_cut_out_hides_the_words_of_a_band(wall: SetOut) -> None:
    for panel in wall.panels:
        svg = bench_drawing(wall, panel)
        scale = scale_of(svg)
        root = ElementTree.fromstring(svg)
        board = next(one for one in root.iter(f"{SVG}rect") if one.get("fill") == "#c8c8c8")
        left, top = float(board.attrib["x"]), float(board.attrib["y"])
        (words,) = [one for one in root.iter(f"{SVG}text") if one.text == "no drilling"]
        x, y = float(words.attrib["x"]), float(words.attrib["y"])
        half = words_width("no drilling") / 2
        for cut in panel.cutouts:
            own = panel.from_own_corner(cut)
            low = top + float(panel.board.height - own.bottom) * scale
            high = top + float(panel.board.height - own.top) * scale
            beside = x + half < left + float(own.left) * scale or x - half > left + float(own.right) * scale
            assert beside or y < high or y - LETTERING * 0.8 > low


def test_the_true_rod_is_true(wall: SetOut) -> None:
    for panel in wall.panels:
        root = ElementTree.fromstring(true_rod(wall, panel))
        rod = panel_rod(wall, panel)
        assert float(root.attrib["width"].removesuffix("mm")) == pytest.approx(
            float(rod.length) + 2 * SIDE, abs=5e-4
        )
        slats = [group for group in root.iter(f"{SVG}g") if group.get("data-mark") == "slat"]
        drawn = [float(group[0].attrib["x1"]) for group in slats]
        wanted = [SIDE + float(mark.at) for mark in rod.marks if mark.kind == "slat"]
        assert drawn == pytest.approx(wanted, abs=5e-4)
        checks = [group[0] for group in root.iter(f"{SVG}g") if group.get("data-mark") == "check"]
        lengths = [
            (
                abs(float(line.attrib["x2"]) - float(line.attrib["x1"])),
                abs(float(line.attrib["y2"]) - float(line.attrib["y1"])),
            )
            for line in checks
        ]
        assert lengths == [
            (pytest.approx(CHECK_MM, abs=1e-3), 0),
            (0, pytest.approx(CHECK_MM, abs=1e-3)),
        ]


def test_the_fixing_plan_has_a_cross_a_point_and_every_band(wall: SetOut) -> None:
    svg = fixing_plan(wall)
    root = ElementTree.fromstring(svg)
    points = sum(len(panel.fixings) for panel in wall.panels)
    strokes = [
        line
        for line in root.iter(f"{SVG}line")
        if abs(float(line.attrib["x2"]) - float(line.attrib["x1"]) - 2.4) < 2e-3
        and abs(abs(float(line.attrib["y2"]) - float(line.attrib["y1"])) - 2.4) < 2e-3
    ]
    assert len(strokes) == 2 * points
    bands = [group for group in root.iter(f"{SVG}g") if group.get("data-band")]
    assert len(bands) == len(wall.bands)


@pytest.mark.parametrize("run", ["upright", "level"])
def test_panels_have_their_numbers_beside_the_wall(run: str) -> None:
    """Clear of crosses and hatching: over upright panels, at the right of level ones."""
    wall = placed({"width_mm": 3100, "height_mm": 2450}, {"run": run, "width_mm": 60, "gap_mm": 12})
    root = ElementTree.fromstring(fixing_plan(wall))
    outline = next(one for one in root.iter(f"{SVG}path"))
    points = next(subpaths(outline.attrib["d"]))[0]
    right, top = max(x for x, _y in points), min(y for _x, y in points)
    numbers = [one for one in root.iter(f"{SVG}text") if one.get("font-weight") == "600"]
    assert [one.text for one in numbers] == [str(panel.index + 1) for panel in wall.panels]
    for one in numbers:
        x, y = float(one.attrib["x"]), float(one.attrib["y"])
        assert (y < top) if run == "upright" else (x > right)
        assert y > LETTERING * 0.8
        assert x + words_width(one.text or "") <= float(root.attrib["viewBox"].split()[2])


def test_the_rolls_pieces_are_numbered_as_the_list_beside_it() -> None:
    catalogue = load()
    boards = [Board(name=f"panel {number}", width_mm=520, height_mm=2428) for number in (1, 2, 3)]
    cloth = fabric(boards, catalogue.named("fabric", "black felt"), catalogue)
    numbers = [number for number, *_rest in piece_numbers(cloth)]
    assert numbers == [1, 2, 3]
    said = texts(backing_drawing(cloth))
    assert {"1", "2", "3", "spare"} <= set(said)
    assert any(re.search(rf"{cloth.metres:g} m", words) for words in said)
