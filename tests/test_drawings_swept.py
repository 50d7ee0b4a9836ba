"""Slats cut to a sloping ceiling: every corner that is drawn, read back and compared with the set-out."""

from collections.abc import Iterator
from fractions import Fraction
from io import StringIO
from xml.etree import ElementTree

import ezdxf
import pytest
from laid_out import placed

from meshes.layout.placed import SetOut
from viewer.drawings.bench import bench_drawing
from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.drawings.hatching import hatch_outline
from viewer.drawings.moved import differs, moved
from viewer.drawings.outlines import face_outline, piece_outline, rect_outline, wall_outline
from viewer.drawings.pen import Pen
from viewer.drawings.small import small_wall
from viewer.export.dxf import panel_dxf
from viewer.sheets.ink import subpaths
from viewer.sheets.panel_sheets import head_rows, mark_rows

SVG = "{http://www.w3.org/2000/svg}"
Points = list[tuple[float, float]]
WINDOW = {"kind": "window", "left_mm": 1500, "bottom_mm": 1200, "width_mm": 600, "height_mm": 500}
SLATS = {"width_mm": 44, "depth_mm": 16, "gap_mm": 14}


def swept(**more: object) -> SetOut:
    """A ceiling that rises 420 mm over 4200, 1 in 10, over slats with a window among them."""
    wall = {"ceiling": "swept", "height_mm": 2100, "ceiling_out_of_level_mm": 420}
    return placed({**wall, **more}, SLATS, openings=[WINDOW, {}])


@pytest.fixture(scope="module")
def rising() -> SetOut:
    return swept()


def ceiling(x: Fraction) -> Fraction:
    return 2100 + x / 10


def by_hand(made: SetOut) -> Iterator[list[tuple[Fraction, Fraction]]]:
    """Corners of every piece, its top under the ceiling where it is the slat's last, from the lower left."""
    for slat in made.slats:
        for piece in slat.pieces:
            left, right, foot = piece.left, piece.right, piece.bottom
            last = piece is slat.pieces[-1]
            top = (ceiling(right), ceiling(left)) if last else (piece.top, piece.top)
            yield [(left, foot), (right, foot), (right, top[0]), (left, top[1])]


def drawn(svg: str, fill: str) -> tuple[ElementTree.Element, list[Points]]:
    """Closed outlines filled with ``fill``, rectangles among them, in the order in which they are drawn."""
    root = ElementTree.fromstring(svg)
    found: list[Points] = []
    for element in root.iter():
        if element.get("fill") != fill:
            continue
        if element.tag == f"{SVG}path":
            found += [points for points, closed in subpaths(element.attrib["d"]) if closed]
        elif element.tag == f"{SVG}rect":
            x, y, w, h = (float(element.attrib[name]) for name in ("x", "y", "width", "height"))
            found.append([(x, y), (x + w, y), (x + w, y + h), (x, y + h)])
    return root, found


def on_sheet(
    outlines: Iterator[list[tuple[Fraction, Fraction]]], left: float, floor: float, scale: float
) -> list[Points]:
    """Places on the wall [mm] as places on a sheet."""
    return [[(left + float(x) * scale, floor - float(y) * scale) for x, y in one] for one in outlines]


def compare(found: list[Points], wanted: list[Points], within: float) -> None:
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        assert len(one) == len(other)
        for corner in other:
            near = min(abs(x - corner[0]) + abs(y - corner[1]) for x, y in one)
            assert near <= within


def test_the_elevation_draws_both_corners_of_every_top(rising: SetOut) -> None:
    root, found = drawn(elevation(rising, width_mm=200), "#fcfcfc")
    left, floor, scale = (float(root.attrib[f"data-{name}"]) for name in ("left", "floor", "scale"))
    wanted = [
        [(left + float(x) * scale, floor - float(y) * scale) for x, y in one] for one in by_hand(rising)
    ]
    # the socket's plate is drawn in the slats' tone too, after them
    assert len(found) == len(wanted) + 1
    compare(found[: len(wanted)], wanted, 4e-3)  # coordinates are rounded to a thousandth of paper


def test_the_small_picture_draws_them_too(rising: SetOut) -> None:
    svg = small_wall([rising], slat="#123456", backing="#654321", width_mm=80, height_mm=50)
    _root, found = drawn(svg, "#123456")
    scale = min(78 / 4200, 48 / 2520)
    left, floor = (80 - 4200 * scale) / 2, (50 + 2520 * scale) / 2
    wanted = [
        [(left + float(x) * scale, floor - float(y) * scale) for x, y in one] for one in by_hand(rising)
    ]
    compare(found, wanted, 3e-2)  # written to a hundredth


def test_a_bench_sheet_draws_them_over_the_board_and_has_room_for_them(rising: SetOut) -> None:
    for panel in rising.panels:
        root, found = drawn(bench_drawing(rising, panel), "#ffffff")
        scale = float(root.attrib["data-scale"])
        board = next(one for one in root.iter(f"{SVG}rect") if one.get("fill") == "#c8c8c8")
        left = float(board.attrib["x"]) - float(panel.board.left) * scale
        floor = float(board.attrib["y"]) + float(board.attrib["height"]) + float(panel.board.bottom) * scale
        own = [piece for index in panel.slats for piece in rising.slats[index].pieces]
        pieces = (piece for slat in rising.slats for piece in slat.pieces)
        outlines = (outline for piece, outline in zip(pieces, by_hand(rising), strict=True) if piece in own)
        wanted = on_sheet(outlines, left, floor, scale)
        compare(found[: len(wanted)], wanted, 4e-3)
        assert min(y for points in found for _x, y in points) > 8
        assert {figure(panel.board.width), figure(panel.board.height)} <= {
            text.text for text in root.iter(f"{SVG}text")
        }


def test_a_machines_file_has_the_same_corners(rising: SetOut) -> None:
    for panel in rising.panels:
        document = ezdxf.read(StringIO(panel_dxf(rising, panel, title="P").decode()))
        found = [
            [(x, y) for x, y, *_rest in line.get_points()]
            for layer in ("SLAT", "SLAT_LOOSE")
            for line in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
        ]
        corners = list(by_hand(rising))
        pieces = [(slat.index, piece) for slat in rising.slats for piece in slat.pieces]
        wanted = [
            [(float(x - panel.board.left), float(y - panel.board.bottom)) for x, y in outline]
            for (index, _piece), outline in zip(pieces, corners, strict=True)
            if index in panel.slats
        ]
        compare(sorted(found), sorted(wanted), 1e-9)  # a sum of doubles


def test_wall_and_face_follow_the_ceiling(rising: SetOut) -> None:
    assert wall_outline(rising) == ((0, 0), (4200, 0), (4200, 2520), (2100, 2310), (0, 2100))
    assert face_outline(rising) == ((0, 0), (4200, 0), (4200, 2520), (0, 2100))
    steeper = swept(ceiling_out_of_level_mm=421)
    assert differs(rising, steeper)
    assert not differs(rising, swept())
    svg = moved(rising, steeper, was_words="signed", now_words="now")
    tops = [len(points) for points in drawn(svg, "none")[1]]
    assert tops.count(4) == len(tops)
    sagging = swept(ceiling_out_of_level_mm=0, height_mm={"left": 2100, "middle": 2090, "right": 2100})
    outline = face_outline(sagging)
    assert outline[:2] == ((0, 0), (4200, 0))
    assert (outline[2], outline[-1]) == ((4200, 2100), (0, 2100))
    assert min(y for _x, y in outline[2:]) == 2090


def test_the_heights_of_the_ceiling_stand_at_their_places(rising: SetOut) -> None:
    root = ElementTree.fromstring(elevation(rising, width_mm=200))
    left, floor, scale = (float(root.attrib[f"data-{name}"]) for name in ("left", "floor", "scale"))
    levels = [group for group in root.iter(f"{SVG}g") if group.get("data-mark") == "level"]
    said = [next(group.iter(f"{SVG}text")).text for group in levels]
    assert said == ["2100", "2310", "2520"]
    for group, x, y in zip(levels, (0, 2100, 4200), (2100, 2310, 2520), strict=True):
        (points, _closed), *_more = subpaths(next(group.iter(f"{SVG}path")).attrib["d"])
        assert points[1] == (
            pytest.approx(left + x * scale, abs=1e-3),
            pytest.approx(floor - y * scale, abs=1e-3),
        )


def test_the_panel_sheet_lists_the_heights_of_both_corners(rising: SetOut) -> None:
    for panel in rising.panels:
        rows, heads = mark_rows(rising, panel)[0], head_rows(rising, panel)
        assert len(rows) == len(heads)
        for (name, *_places), head in zip(rows, heads, strict=True):
            extent = rising.slats[int(name.split()[0]) - 1].extent
            low = panel.board.bottom
            assert head == (figure(ceiling(extent.left) - low), figure(ceiling(extent.right) - low))
    level = placed()
    assert all(head_rows(level, panel) == [] for panel in level.panels)


def test_under_a_level_ceiling_every_outline_is_a_rectangle() -> None:
    for run in ("upright", "level"):
        level = placed({"ceiling_out_of_level_mm": 30}, {"run": run})
        assert wall_outline(level) == ((0, 0), (4200, 0), (4200, 2550), (0, 2550))
        assert face_outline(level) == rect_outline(level.face)
        for slat in level.slats:
            assert [piece_outline(slat, piece) for piece in slat.pieces] == [
                rect_outline(piece) for piece in slat.pieces
            ]
        assert 'data-mark="level"' not in elevation(level, width_mm=200)


@pytest.mark.parametrize("falling", [False, True])
def test_hatching_keeps_to_a_sloping_top(falling: bool) -> None:
    pen = Pen(width=60, height=60, title="", description="")
    # y from the top: the outline rises from 20 at its left edge to 10 at its right one
    hatch_outline(pen, [(10, 50), (30, 50), (30, 10), (10, 20)], spacing=1.5, falling=falling)
    lines = list(subpaths(ElementTree.fromstring(pen.svg())[2].attrib["d"]))
    assert len(lines) > 20
    on_top = 0
    for points, _closed in lines:
        for x, y in points:
            top = 20 - (x - 10) / 2
            assert 10 - 2e-3 <= x <= 30 + 2e-3
            assert top - 2e-3 <= y <= 50 + 2e-3
            on_top += abs(y - top) < 2e-3 and 10.1 < x < 29.9
    assert on_top > 3
