"""Marks of the rod on drawings: read from the datum, wherever that is, and drawn where they are."""

from xml.etree import ElementTree

import pytest
from laid_out import SOCKET, WORKED, placed

from meshes.layout.rod import wall_rod
from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.drawings.marks import marks
from viewer.drawings.rod import rod

TEXT = "{http://www.w3.org/2000/svg}text"


@pytest.mark.parametrize("datum", ["left", "right"])
def test_marks_stand_on_the_wall_and_read_from_the_datum(datum: str) -> None:
    result = placed(WORKED, {"datum": datum}, openings=[SOCKET])
    found = {(mark.kind, mark.index): mark for mark in marks(result)}
    slat = found["slat", 4]
    extent = result.slats[4].extent
    assert (slat.at, slat.until) == (extent.left, extent.right)
    near = extent.left if datum == "left" else 4200 - extent.right
    assert slat.from_datum == near
    unit = "mm" if datum == "left" else "mm from the right"
    assert slat.words == f"Slat 5: {figure(near)} to {figure(near + extent.width)} {unit}"
    bold = {mark.index for mark in wall_rod(result).marks if mark.kind == "slat" and mark.bold}
    assert {index for (kind, index), mark in found.items() if kind == "slat" and mark.bold} == bold
    plate = "1480 to 1626 mm" if datum == "left" else "2574 to 2720 mm from the right"
    assert found["opening", 0].words == f"Socket: {plate}"


def test_the_values_under_a_rod_from_the_right_grow_to_the_left() -> None:
    root = ElementTree.fromstring(rod(placed(WORKED, {"datum": "right"})))
    values = [(float(text.attrib["x"]), float(text.text or "")) for text in root.iter(TEXT)]
    assert [value for _x, value in sorted(values)] == sorted((value for _x, value in values), reverse=True)
    assert min(value for _x, value in values) == 0


def test_an_elevation_from_the_right_has_its_running_dimensions_from_there() -> None:
    shown = {}
    for datum in ("left", "right"):
        root = ElementTree.fromstring(elevation(placed(WORKED, {"datum": datum}, openings=[SOCKET])))
        shown[datum] = {text.text for text in root.iter(TEXT)}
    assert "1480" in shown["left"]
    assert "2574" in shown["right"]
    assert "1480" not in shown["right"]


def test_level_slats_from_the_top_say_so() -> None:
    wall, slats = {"height_mm": 400, "width_mm": 2000}, {"width_mm": 40, "gap_mm": 20}
    result = placed(wall, {**slats, "run": "level", "datum": "top"})
    last = next(mark for mark in marks(result) if mark.kind == "slat" and mark.index == 6)
    assert last.words == "Slat 7: 0 to 40 mm from the top"
    assert last.at == 360
    assert last.until == 400
