"""An earlier set-out beside the present one: every slat where it stood, at the wall's scale, and in words."""

import re
from xml.etree import ElementTree

import pytest
from laid_out import placed

from meshes.layout.placed import SetOut
from viewer.drawings.earlier import ROOM, earlier_words
from viewer.drawings.elevation import elevation
from viewer.drawings.moved import spans

SVG = "{http://www.w3.org/2000/svg}"
WALL = {"width_mm": 1200, "height_mm": 2400}


def strip(svg: str) -> list[dict[str, float]]:
    """The earlier slats as drawn: x, y, width, height [mm of paper]."""
    group = next(one for one in ElementTree.fromstring(svg).iter(f"{SVG}g") if "data-before" in one.attrib)
    path = next(one for one in group.iter(f"{SVG}path") if one.get("fill") == "#fcfcfc")
    found = re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)h", path.attrib["d"])
    return [dict(zip(("x", "y", "width", "height"), map(float, one), strict=True)) for one in found]


def root_values(svg: str) -> tuple[float, float, float, float]:
    """Left end of the wall, its floor [mm of paper], scale, and height of the drawing."""
    found = re.search(
        r'height="([\d.]+)mm".*?data-left="([\d.]+)" data-floor="([\d.]+)" data-scale="([\d.]+)"', svg
    )
    assert found is not None
    height, left, floor, scale = map(float, found.groups())
    return left, floor, scale, height


@pytest.mark.parametrize("width", [93, 152, 235])
@pytest.mark.parametrize("run", ["upright", "level"])
def test_every_earlier_slat_stands_where_it_stood(run: str, width: float) -> None:
    was, now = (placed(WALL, {"gap_mm": gap, "run": run}) for gap in (12, 17))
    svg = elevation(now, width_mm=width, was=was)
    left, floor, scale, _height = root_values(svg)
    drawn, stood = strip(svg), spans(was)
    assert len(drawn) == len(stood) == len(was.slats)
    for one, (low, high) in zip(drawn, stood, strict=True):
        if run == "upright":
            start, size = (one["x"] - left) / scale, one["width"] / scale
        else:
            start, size = (floor - one["y"] - one["height"]) / scale, one["height"] / scale
        # coordinates are written to a thousandth of a millimetre of paper
        assert start == pytest.approx(float(low), abs=0.002 / scale)
        assert size == pytest.approx(float(high - low), abs=0.002 / scale)


def test_over_the_wall_it_takes_room_and_no_scale() -> None:
    was, now = (placed(WALL, {"gap_mm": gap}) for gap in (12, 17))
    alone, beside = (root_values(elevation(now, width_mm=152, height_mm=98, was=one)) for one in (None, was))
    assert beside[2] == alone[2]
    assert beside[3] - alone[3] == pytest.approx(ROOM)


@pytest.mark.parametrize("depth", [20, 24])
def test_nothing_is_drawn_where_nothing_moved(depth: int) -> None:
    was, now = (placed(WALL, {"gap_mm": 12, "depth_mm": size}) for size in (20, depth))
    assert earlier_words(was, now) == ""
    assert elevation(now, was=was) == elevation(now)


def test_the_drawing_says_in_words_what_was_there() -> None:
    was, now = (placed(WALL, {"gap_mm": gap, "width_mm": 40}) for gap in (12, 17))
    words = f"{len(was.slats)} slats of 40 mm, gap {float(was.gap):.1f} mm"
    description = re.search("<desc>(.*?)</desc>", elevation(now, was=was))
    assert description is not None
    assert f"Before: {words}" in description[1]
    assert f"{still(was, now)} of them stood elsewhere" in description[1]


def still(was: SetOut, now: SetOut) -> int:
    """Slats that another one has not taken the exact place of."""
    return len(set(spans(was)) - set(spans(now)))
