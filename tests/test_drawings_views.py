"""Elevation, section, rod and panel: what they show of a set-out, at every width."""

import re
from fractions import Fraction
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from laid_out import placed_walls

from meshes.layout.placed import SetOut
from meshes.layout.setout import set_out
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import End, Opening, Wall, Zone
from viewer.drawings import pen as p
from viewer.drawings.elevation import elevation
from viewer.drawings.marks import marks
from viewer.drawings.rod import rod
from viewer.drawings.section import section
from viewer.drawings.small import small_wall

SVG = "{http://www.w3.org/2000/svg}"
ZONES = (Zone(kind="hidden", left_mm=900, bottom_mm=0, width_mm=1600, height_mm=740),)
WIDTHS = (60, 93, 120, 152, 235, 400)


def wall(run: str = "upright", width: int = 4200) -> SetOut:
    openings = (
        Opening(kind="socket", left_mm=1480, bottom_mm=450, width_mm=146, height_mm=86),
        Opening(kind="switch", left_mm=width - 700, bottom_mm=1050, width_mm=86, height_mm=86),
    )
    return set_out(
        wall=Wall(
            width_mm=width,
            height_mm=2550,
            skirting_mm=120,
            skirting_projection_mm=18,
            left=End(meets="wall", shadow_gap_mm=12),
            right=End(meets="open", trim_mm=12),
        ),
        openings=openings,
        zones=ZONES,
        slats=Slats(run=run, width_mm=44, depth_mm=20, gap_mm=14),
        panels=Panels(),
    )


WALL = wall()


def texts(svg: str) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(svg).iter(f"{SVG}text"))


def all_drawings(width: float) -> list[str]:
    return [
        elevation(WALL, zones=ZONES, width_mm=width),
        elevation(WALL, zones=ZONES, width_mm=width, height_mm=120),
        section(WALL, width_mm=width),
        rod(WALL, width_mm=width),
    ]


@pytest.mark.parametrize("width", WIDTHS)
def test_lettering_never_shrinks_and_never_leaves_the_sheet(width: float) -> None:
    for svg in all_drawings(width):
        root = ElementTree.fromstring(svg)
        sheet_width, sheet_height = (float(part) for part in root.attrib["viewBox"].split()[2:])
        assert sheet_width == width
        assert float(root.attrib["font-size"]) == p.LETTERING
        for text in root.iter(f"{SVG}text"):
            assert "font-size" not in text.attrib
            long = p.words_width(text.text or "")
            x, y = float(text.attrib["x"]), float(text.attrib["y"])
            before = {"start": 0.0, "middle": long / 2, "end": long}[text.attrib["text-anchor"]]
            if "transform" in text.attrib:  # turned to read from the right: runs up the sheet
                assert y >= long - before, text.text
                assert y + before <= sheet_height + 0.5, text.text
            else:
                assert x - before >= -0.5, text.text
                assert x - before + long <= sheet_width + 0.5, text.text


@pytest.mark.parametrize("width", WIDTHS)
def test_running_values_do_not_touch(width: float) -> None:
    svg = elevation(WALL, width_mm=width)
    turned = sorted(float(text.attrib["x"]) for text in texts(svg) if "transform" in text.attrib)
    assert len(turned) >= 3
    assert min(b - a for a, b in pairwise(turned)) >= p.LETTERING - 1e-6


def test_detail_is_dropped_as_the_sheet_narrows_and_openings_stay() -> None:
    shown = {width: texts(elevation(WALL, zones=ZONES, width_mm=width)) for width in (93, 152, 235)}
    assert len(shown[93]) < len(shown[152]) <= len(shown[235])
    for words in shown.values():
        values = {text.text for text in words}
        assert {"1480", "4200", "2550", "450"} <= values
    assert "Socket" not in {text.text for text in shown[93]}
    assert "Socket" in {text.text for text in shown[152]}


@pytest.mark.parametrize("run", ["upright", "level"])
def test_the_elevation_draws_every_piece_of_slat_where_it_lies(run: str) -> None:
    made = wall(run)
    root = ElementTree.fromstring(elevation(made, width_mm=200))
    left, floor, scale = (float(root.attrib[f"data-{name}"]) for name in ("left", "floor", "scale"))
    group = next(part for part in root.iter(f"{SVG}g") if part.attrib.get("data-part") == "slats")
    drawn = re.findall(r"M([\d.]+) ([\d.]+)h([\d.]+)v([\d.]+)h", group[0].attrib["d"])
    pieces = [piece for slat in made.slats for piece in slat.pieces]
    assert len(drawn) == len(pieces)
    for numbers, piece in zip(drawn, pieces, strict=True):
        expected = (
            left + float(piece.left) * scale,
            floor - float(piece.top) * scale,
            float(piece.width) * scale,
            float(piece.height) * scale,
        )
        # the sheet's numbers are rounded to a thousandth of a millimetre of paper
        assert [float(number) for number in numbers] == pytest.approx(expected, abs=2e-3)


def test_no_line_is_drawn_over_a_word() -> None:
    """A zone's edge runs through the switch and its word: it is drawn before both."""
    over = Zone(kind="raking_light", left_mm=3000, bottom_mm=300, width_mm=540, height_mm=1900)
    parts = list(ElementTree.fromstring(elevation(WALL, zones=[over], width_mm=235)))
    first = {
        name: next(number for number, part in enumerate(parts) if found(part))
        for name, found in (
            ("zone", lambda part: part.get("data-zone") == "raking_light"),
            ("opening", lambda part: part.get("data-mark") == "opening"),
            ("word", lambda part: part.text == "Switch"),
        )
    }
    assert first["zone"] < first["opening"] < first["word"]


def test_on_a_narrow_wall_the_note_stands_beside_the_scale_bar() -> None:
    narrow = set_out(
        wall=Wall(width_mm=600, height_mm=2100),
        openings=(),
        zones=(),
        slats=Slats(width_mm=30, depth_mm=15, gap_mm=10),
        panels=Panels(),
    )
    for made, width in ((narrow, 270), (WALL, 270)):
        said = texts(elevation(made, width_mm=width, height_mm=150, to_scale=True))
        note = next(one for one in said if "pitch" in (one.text or ""))
        bar = next(one for one in said if " : " in (one.text or ""))
        long = p.words_width(note.text or "")
        start = float(note.attrib["x"]) - (long if note.attrib["text-anchor"] == "end" else 0)
        bar_end = float(bar.attrib["x"]) + p.words_width(bar.text or "")
        assert start >= bar_end + 5
        assert start + long <= width
        assert made is WALL or start == pytest.approx(bar_end + 6, abs=1e-3)
    # neither place has room on a narrow sheet: what is drawn stays on it
    assert not any(
        "pitch" in (one.text or "") for one in texts(elevation(narrow, width_mm=200, height_mm=150))
    )


def test_each_drawing_says_in_words_what_it_shows() -> None:
    for svg in all_drawings(152):
        root = ElementTree.fromstring(svg)
        assert root.attrib["role"] == "img"
        title, description = (child.text or "" for child in root[:2])
        assert title
        assert len(description) > 20
    words = ElementTree.fromstring(elevation(WALL))[1].text or ""
    assert f"{len(WALL.slats)} slats" in words
    assert "Socket at 1480 mm, 450 mm above the floor" in words


def test_marks_are_cumulative_and_exact() -> None:
    found = marks(WALL)
    slats = [mark for mark in found if mark.kind == "slat"]
    assert [mark.at for mark in slats] == [WALL.face.left + k * WALL.pitch for k in range(len(WALL.slats))]
    assert all(mark.until - mark.at == WALL.slat_width for mark in slats)
    assert [mark.at for mark in found] == sorted(mark.at for mark in found)
    joints = [mark for mark in found if mark.kind == "joint"]
    assert len(joints) == len(WALL.panels) - 1
    clearance = Fraction(2)
    for mark, (before, after) in zip(joints, pairwise(WALL.panels), strict=True):
        assert (before.outline.right, after.outline.left) == (
            mark.at - clearance / 2,
            mark.at + clearance / 2,
        )
    assert [mark.words for mark in found if mark.kind == "opening"] == [
        "Socket: 1480 to 1626 mm",
        "Switch: 3500 to 3586 mm",
    ]


@pytest.mark.parametrize("width", [93, 318])
def test_the_rod_stands_to_scale_with_every_mark_on_it(width: float) -> None:
    root = ElementTree.fromstring(rod(WALL, width_mm=width))
    left, scale = float(root.attrib["data-left"]), float(root.attrib["data-scale"])
    groups = [part for part in root.iter(f"{SVG}g") if part.attrib.get("data-mark") == "slat"]
    assert len(groups) == len(WALL.slats)
    for group, slat in zip(groups, WALL.slats, strict=True):
        rect = next(group.iter(f"{SVG}rect"))
        assert float(rect.attrib["x"]) == pytest.approx(left + float(slat.extent.left) * scale, abs=2e-3)
        title = next(group.iter(f"{SVG}title"))
        assert (title.text or "").startswith(f"Slat {slat.index + 1}: ")


def test_the_section_states_slat_gap_and_build_up() -> None:
    values = {text.text for text in texts(section(WALL, width_mm=180))}
    assert {"44", "14.2", "33"} <= values


def test_two_thousand_slats_stay_one_light_drawing() -> None:
    long = wall(width=60_000)
    assert len(long.slats) > 1000
    assert len(elevation(long, width_mm=152)) < 250_000


@pytest.mark.parametrize(
    ("width", "name", "step"), [(2100, "Panel {}", 1), (6000, "{}", 1), (12_000, "{}", 2)]
)
def test_panels_are_named_alike_and_of_many_every_second(width: int, name: str, step: int) -> None:
    made = wall(width=width)
    shown = [
        str(text.text) for text in texts(elevation(made, width_mm=152)) if "rotate" not in str(text.attrib)
    ]
    names = [words for words in shown if re.fullmatch(r"(Panel )?\d\d?", words)]
    assert names == [name.format(number) for number in range(step, len(made.panels) + 1, step)]


def test_slats_too_close_to_tell_apart_on_a_page_are_one_tone_and_on_paper_stay_slats() -> None:
    long = wall(width=12_000)
    page, paper = (elevation(long, width_mm=93, to_scale=exact) for exact in (False, True))
    assert page.count("z") < 10
    assert paper.count("z") > len(long.slats)


def test_no_strip_of_bare_wall_shows_in_the_small_picture_of_an_inside_corner() -> None:
    """Behind the build-up of the wall before, the second wall is backing from its own left end on."""
    first, second = placed_walls([{"turns": "inside", "wall": {"width_mm": 1800, "height_mm": 2550}}])
    root = ElementTree.fromstring(small_wall([first, second], slat="#123456", backing="#654321"))
    covered = sorted(
        (float(one.attrib["x"]), float(one.attrib["x"]) + float(one.attrib["width"]))
        for one in root.iter(f"{SVG}rect")
        if one.get("fill") == "#654321"
    )
    scale = 78 / (4200 + 1800)
    assert covered[0][0] == pytest.approx(1 + float(first.face.left) * scale, abs=2e-3)
    assert covered[-1][1] == pytest.approx(1 + float(4200 + second.face.right) * scale, abs=2e-3)
    for (_left, ends), (starts, _right) in pairwise(covered):
        assert starts <= ends + 2e-3
