"""The wall as surveyed: what slopes is drawn sloping, and nothing is drawn below the floor."""

import re
from typing import Any
from xml.etree import ElementTree

import pytest

from viewer.drawings import pen as p
from viewer.drawings.surveyed import surveyed_wall
from viewer.pages.survey_drawn import drawn_wall

SVG = "{http://www.w3.org/2000/svg}"
DOOR = {"kind": "door", "left_mm": 2000, "bottom_mm": 0, "width_mm": 800, "height_mm": 2000}
WINDOW = {"kind": "window", "left_mm": 500, "bottom_mm": 900, "width_mm": 900, "height_mm": 900}


def drawn(document: dict[str, Any]) -> ElementTree.Element:
    wall = drawn_wall(document, "", {})
    assert wall is not None
    return ElementTree.fromstring(surveyed_wall(wall, width_mm=152, height_mm=118))


def on_the_wall(root: ElementTree.Element, x: float, y: float) -> tuple[float, float]:
    """Millimetres on the wall of a place on the sheet."""
    left, floor, scale = (float(root.attrib[f"data-{name}"]) for name in ("left", "floor", "scale"))
    return (x - left) / scale, (floor - y) / scale


@pytest.mark.parametrize(
    ("wall", "heights"),
    [
        ({"height_mm": {"left": 2180, "middle": 2500, "right": 2780}}, (2180, 2500, 2780)),
        ({"height_mm": 2600, "ceiling_out_of_level_mm": -300}, (2600, 2450, 2300)),
    ],
)
def test_a_ceiling_is_drawn_as_it_was_measured(wall: dict[str, Any], heights: tuple[int, ...]) -> None:
    root = drawn({"wall": {"width_mm": 4000, **wall}})
    outline = next(
        path for path in root.iter(f"{SVG}path") if path.attrib.get("stroke-width") == f"{p.WIDE.width:g}"
    )
    numbers = [float(number) for number in re.findall(r"[\d.]+", outline.attrib["d"])]
    corners = [on_the_wall(root, x, y) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]
    places = [(0, 0), (4000, 0), *zip((4000, 2000, 0), reversed(heights), strict=True)]
    # the sheet's numbers are rounded to a thousandth of a millimetre of paper, 0.03 mm on the wall
    assert [corner for pair in corners for corner in pair] == pytest.approx(
        [number for pair in places for number in pair], abs=0.1
    )
    assert {str(height) for height in heights} <= {text.text for text in root.iter(f"{SVG}text")}


def test_a_level_ceiling_has_its_height_once() -> None:
    root = drawn({"wall": {"width_mm": 4000, "height_mm": 2400}})
    assert [text.text for text in root.iter(f"{SVG}text")].count("2400") == 1


def test_an_architrave_goes_round_a_window_and_stands_on_the_floor_beside_a_door() -> None:
    round_it = {"architrave_mm": 70}
    root = drawn(
        {
            "wall": {"width_mm": 4000, "height_mm": 2400},
            "openings": [{**DOOR, **round_it}, {**WINDOW, **round_it}],
        }
    )
    lowest = []
    for group in root.iter(f"{SVG}g"):
        if "data-region" in group.attrib:
            outer = group.find(f"{SVG}rect")
            assert outer is not None
            foot = float(outer.attrib["y"]) + float(outer.attrib["height"])
            lowest.append(on_the_wall(root, 0, foot)[1])
    assert sorted(lowest) == pytest.approx([0, 830], abs=0.1)


def test_the_word_of_a_narrow_zone_at_the_end_stays_on_the_wall() -> None:
    zone = {"kind": "raking_light", "left_mm": 0, "bottom_mm": 1300, "width_mm": 200, "height_mm": 500}
    root = drawn({"wall": {"width_mm": 6000, "height_mm": 2400}, "zones": [zone]})
    (word,) = (text for text in root.iter(f"{SVG}text") if text.text == "Raking light")
    start = float(word.attrib["x"]) - p.words_width("Raking light") / 2
    assert on_the_wall(root, start, 0)[0] >= 0
