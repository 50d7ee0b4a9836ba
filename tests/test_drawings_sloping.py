"""No-drill bands and strips under ceilings that slope, read back from what is drawn."""

from fractions import Fraction
from functools import partial
from io import StringIO
from typing import Any
from xml.etree import ElementTree

import ezdxf
import pytest
from laid_out import placed

from meshes.layout.placed import Band, SetOut
from meshes.layout.rect import Rect
from viewer.drawings.bench import bench_drawing
from viewer.drawings.elevation import elevation
from viewer.drawings.fixing_plan import fixing_plan
from viewer.drawings.outlines import band_outlines, foot_outline, rect_outline, wall_outline
from viewer.drawings.small import small_wall
from viewer.export.dxf import panel_dxf
from viewer.export.wall_tables import wall_tables
from viewer.sheets.ink import subpaths

SVG = "{http://www.w3.org/2000/svg}"


def swept(**more: object) -> SetOut:
    """A ceiling that rises 420 mm over 4200, 1 in 10."""
    return placed({"ceiling": "swept", "height_mm": 2100, "ceiling_out_of_level_mm": 420, **more})


def rect(left: float, bottom: float, right: float, top: float) -> Rect:
    sides = (left, bottom, right - left, top - bottom)
    return Rect(**dict(zip(("left", "bottom", "width", "height"), map(Fraction, sides), strict=True)))


def ceiling_band(made: SetOut) -> Band:
    (band,) = [one for one in made.bands if one.why == "ceiling"]
    return band


def area(outline: tuple[tuple[Fraction, Fraction], ...]) -> Fraction:
    """Anticlockwise ones are above 0."""
    pairs = zip(outline, (*outline[1:], *outline[:1]), strict=True)
    return sum((x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs), Fraction(0)) / 2


def test_a_band_is_cut_to_the_board() -> None:
    """A ceiling that rises 3 in 4 from 2000: the band's edges are 1812.5 + 3 x / 4 and 2000 + 3 x / 4."""
    steep = {"width_mm": 400, "height_mm": 2000, "ceiling_out_of_level_mm": 300, "ceiling": "swept"}
    band = ceiling_band(placed(steep, {"width_mm": 20, "gap_mm": 20}))
    (whole,) = band_outlines(band, band.rect)
    assert set(whole) == {(0, 1812.5), (400, 2112.5), (400, 2300), (0, 2000)}
    (cut,) = band_outlines(band, rect(100, 0, 400, 1962.5))
    assert set(cut) == {(100, 1887.5), (200, 1962.5), (100, 1962.5)}
    assert area(cut) == 100 * 75 / 2
    assert band_outlines(band, rect(0, 0, 400, 1812.5)) == ()  # touching is not meeting
    sagging = {"width_mm": 400, "height_mm": {"left": 2150, "middle": 2000, "right": 2150}}
    band = ceiling_band(placed(sagging, {"width_mm": 20, "gap_mm": 20}))
    parts = band_outlines(band, band.rect)
    assert [area(part) for part in parts] == [200 * 187.5, 200 * 187.5]


def test_a_level_band_stays_a_rectangle() -> None:
    made = placed(openings=[{}])
    board = made.panels[1].board
    for band in made.bands:
        assert band_outlines(band, band.rect) == (rect_outline(band.rect),)
        for outline in band_outlines(band, board):
            assert len(outline) == 4
            assert area(outline) > 0


def test_the_fixing_plan_draws_the_band_along_the_ceiling() -> None:
    made = swept()
    root = ElementTree.fromstring(fixing_plan(made))
    (group,) = [one for one in root.iter(f"{SVG}g") if one.get("data-band") == "ceiling"]
    scale = float(root.attrib["data-scale"])
    (points, closed), *_hatching = subpaths(next(group.iter(f"{SVG}path")).attrib["d"])
    assert closed
    across, up = zip(*points, strict=True)
    assert max(across) - min(across) == pytest.approx(4200 * scale, abs=2e-3)
    lower = points[0], points[1]
    assert lower[0][1] - lower[1][1] == pytest.approx(420 * scale, abs=2e-3)
    assert max(up) - min(up) == pytest.approx(float(420 + ceiling_band(made).depth) * scale, abs=2e-3)


def test_bench_sheet_and_machine_file_have_the_band_of_each_board() -> None:
    made = swept()
    band = ceiling_band(made)
    seen = 0
    for panel in made.panels:
        outlines = band_outlines(band, panel.board)
        root = ElementTree.fromstring(bench_drawing(made, panel))
        drawn = [one for one in root.iter(f"{SVG}g") if one.get("data-band") == "ceiling"]
        assert len(drawn) == bool(outlines)
        document = ezdxf.read(StringIO(panel_dxf(made, panel, title="P").decode()))
        found = [
            {(round(x, 6), round(y, 6)) for x, y, *_rest in line.get_points()}
            for line in document.modelspace().query('LWPOLYLINE[layer=="NO_DRILL"]')
        ]
        for outline in outlines:
            corner = panel.board.left, panel.board.bottom
            own = {(round(float(x - corner[0]), 6), round(float(y - corner[1]), 6)) for x, y in outline}
            assert own in found
            seen += 1
    assert seen >= 2


def test_the_table_of_bands_tells_both_ends_of_an_edge_that_slopes() -> None:
    (table,) = [one for one in wall_tables([swept()]) if one.name == "no-drill-bands"]
    row = dict(zip(table.head, table.rows[0], strict=True))
    drop = 150.748  # 150 × sqrt(1 + 0.1²) = 150.74813 or more, up to the thousandth
    ends = [row[f"bottom_{name}_mm"] for name in ("left", "middle", "right")]
    assert ends == [pytest.approx(at - drop, abs=1.1e-3) for at in (2100, 2310, 2520)]
    (plain,) = [one for one in wall_tables([placed()]) if one.name == "no-drill-bands"]
    assert plain.rows[0][-3:] == ("", "", "")


def elevation_of(made: SetOut, **how: Any) -> tuple[ElementTree.Element, float, float, float]:
    root = ElementTree.fromstring(elevation(made, width_mm=200, **how))
    left, floor, scale = (float(root.attrib[f"data-{name}"]) for name in ("left", "floor", "scale"))
    return root, left, floor, scale


def floor_line(root: ElementTree.Element) -> tuple[float, ...]:
    """x1, y1, x2, y2 of the widest line on the sheet."""
    (found,) = [line for line in root.iter(f"{SVG}line") if line.get("stroke-width") == "0.7"]
    return tuple(float(found.attrib[name]) for name in ("x1", "y1", "x2", "y2"))


@pytest.mark.parametrize("rise", [60, -60, -400])
@pytest.mark.parametrize("foot", [{"skirting_mm": 120}, {"skirting": "removed", "plinth_mm": 80}, {}])
def test_a_floor_out_of_level_is_drawn_at_its_slope(rise: int, foot: dict[str, object]) -> None:
    made = placed({"floor_out_of_level_mm": rise, "height_mm": 2900, **foot})
    root, left, floor, scale = elevation_of(made)
    x1, y1, x2, y2 = floor_line(root)
    for x, y in ((x1, y1), (x2, y2)):
        assert y == pytest.approx(floor - (x - left) / 4200 * rise, abs=2e-3)
    assert wall_outline(made)[:2] == ((0, 0), (4200, rise))
    assert wall_outline(made)[2:] == ((4200, 2900), (0, 2900))
    # what stands on the floor goes down to it: the kept skirting, or what is scribed up to the slats
    outline = foot_outline(made)
    top = made.face.bottom
    assert top == max(0, rise) + sum(size for size in foot.values() if isinstance(size, int))
    assert outline == ((0, 0), (4200, rise), (4200, top), (0, top))
    lowest = floor - min(0, rise) * scale
    flat = [line for line in root.iter(f"{SVG}line") if line.get("y1") == line.get("y2")]
    along = max(flat, key=lambda line: float(line.attrib["x2"]) - float(line.attrib["x1"]))
    assert float(along.attrib["y1"]) == pytest.approx(lowest + 5, abs=2e-3)


def paper(svg: str) -> tuple[float, float]:
    """Height of a sheet [mm], and its scale."""
    root = ElementTree.fromstring(svg)
    return float(root.attrib["height"].removesuffix("mm")), float(root.attrib["data-scale"])


def test_drawings_leave_room_for_a_floor_that_falls() -> None:
    level, falling = (placed({"height_mm": 2100, "floor_out_of_level_mm": fall}) for fall in (0, -200))
    for draw in (
        partial(elevation, width_mm=200, to_scale=True),
        partial(fixing_plan, width_mm=200, height_mm=150),
    ):
        (high, scale), (higher, same) = paper(draw(level)), paper(draw(falling))
        assert same == scale
        assert higher - high == pytest.approx(200 * scale, abs=2e-3)
    root = ElementTree.fromstring(small_wall([falling], slat="#123456", backing="#654321"))
    paths = [subpaths(path.attrib["d"]) for path in root.iter(f"{SVG}path")]
    assert max(y for path in paths for points, _closed in path for _x, y in points) <= 50
    assert foot_outline(level) is None


def test_bands_are_drawn_no_higher_than_the_wall() -> None:
    """Up to a level line under the lowest point where slats are not swept: higher up are panels' numbers."""
    made = placed({"height_mm": {"left": 2500, "middle": 2300, "right": 2500}})
    root = ElementTree.fromstring(fixing_plan(made))
    wall = next(root.iter(f"{SVG}path"))
    ceiling = min(y for points, _closed in subpaths(wall.attrib["d"]) for _x, y in points)
    groups = [one for one in root.iter(f"{SVG}g") if one.get("data-band")]
    assert len(groups) == len(made.bands)
    ends = [
        y
        for group in groups
        for path in group.iter(f"{SVG}path")
        for points, _closed in subpaths(path.attrib["d"])
        for _x, y in points
    ]
    assert min(ends) == pytest.approx(ceiling, abs=2e-3)
