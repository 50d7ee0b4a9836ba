"""What frames slats under a sloping ceiling goes up to it where it stands, in lists and solids alike."""

from xml.etree import ElementTree

import numpy as np
import pytest
from hand_built import Box
from hypothesis import given
from hypothesis import strategies as st
from laid_out import placed
from made_up import LAWS, Json, jobs, laid

from meshes.cutting.demand import smalls
from meshes.layout.areas import areas
from meshes.layout.placed import SetOut
from meshes.layout.report import as_json
from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room
from meshes.light.site import site
from meshes.solids.scene import build
from meshes.stills.marks import lines
from viewer.drawings.elevation import elevation
from viewer.sheets.ink import subpaths

SVG = "{http://www.w3.org/2000/svg}"
SWEPT = {
    "width_mm": 4200,
    "height_mm": 2100,
    "ceiling": "swept",
    "ceiling_out_of_level_mm": 420,
    "left": {"meets": "wall", "shadow_gap_mm": 20},
    "right": {"meets": "open", "trim_mm": 20},
}
"""The ceiling rises 1 in 10 over a shadow gap of 20 at its low end and a trim of 20 at its high one."""


@pytest.fixture(scope="module")
def swept() -> SetOut:
    return placed(SWEPT)


def test_strips_at_the_ends_are_cut_to_the_ceiling(swept: SetOut) -> None:
    (shadow,), (trim,) = swept.shadow_gaps, swept.trims
    assert (shadow.rect.height, shadow.edges) == (2100, (2100, 2102))
    assert (trim.rect.left, trim.rect.height, trim.edges) == (4180, 2518, (2518, 2520))
    found = {one["kind"]: one for one in (*as_json(swept)["trims"], *as_json(swept)["shadow_gaps"])}
    assert (found["trim"]["top_left_mm"], found["trim"]["top_right_mm"]) == (2518, 2520)
    assert found["shadow_gap"]["top_mm"] == 2100
    level = placed({**SWEPT, "ceiling": "plain"})
    assert [strip.edges for strip in (*level.shadow_gaps, *level.trims)] == [(2100, 2100)] * 2
    assert "top_left_mm" not in as_json(level)["trims"][0]


def test_areas_and_lengths_to_cut_follow(swept: SetOut) -> None:
    found = areas(swept)
    depth = swept.build_up.total
    assert found["trim"] == 20 * 2519 + depth * (2518 + 2520)
    assert found["shadow_gap"] == 20 * 2101
    lengths = {one.name: one.length for one in smalls([swept]) if one.name != "spacer"}
    assert lengths == {"trim": 2520, "shadow strip": 2102}


def test_a_scribed_strip_beside_a_leaning_wall_follows() -> None:
    bare = placed({**SWEPT, "left": {"meets": "open"}, "right": {"meets": "wall", "out_of_plumb_mm": 6}})
    (scribed,) = [one for one in smalls([bare]) if one.name == "scribed strip"]
    assert scribed.length == 2520
    part = corners(bare, "trim")
    assert part[:, 1].max() == pytest.approx(2.52)


def corners(made: SetOut, kind: str) -> np.ndarray:
    """(n, 3) [m] of all parts of a kind, on the wall."""
    scene = build([made], Box())
    (frame,) = scene.frames
    found = np.concatenate([part.mesh.vertices for part in scene.parts if part.name.startswith(f"{kind}/")])
    return (found - frame[:3, 3]) @ frame[:3, :3]


def test_solids_stand_up_to_the_ceiling(swept: SetOut) -> None:
    for kind, (left, right) in (("trim", (4180, 4200)), ("shadow_gap", (0, 20))):
        part = corners(swept, kind)
        upper = part[part[:, 1] > 1]
        assert sorted({round(1000 * x) for x in upper[:, 0]}) == [left, right]
        np.testing.assert_allclose(upper[:, 1], 2.1 + upper[:, 0] / 10, atol=1e-9)


def test_marks_in_a_picture_follow_the_strips(swept: SetOut) -> None:
    ((measures, ring),) = [(measures, ring) for kind, measures, ring in lines(swept) if kind == "shadow gap"]
    assert measures == (20, 20)
    np.testing.assert_allclose(ring[[3, 2], 1], [2.1, 2.102])


def test_the_elevation_draws_them_up_to_the_ceiling(swept: SetOut) -> None:
    root = ElementTree.fromstring(elevation(swept, width_mm=200))
    left, floor, scale = (float(root.attrib[f"data-{name}"]) for name in ("left", "floor", "scale"))
    drawn = [
        points
        for path in root.iter(f"{SVG}path")
        if path.get("fill") in ("#dedede", "#4a4a4a")
        for points, _closed in subpaths(path.attrib["d"])
    ]
    for x0, x1 in ((4180, 4200), (0, 20)):
        wanted = {(x0, 2100 + x0 / 10), (x1, 2100 + x1 / 10)}
        assert any(
            all(
                min(abs(left + x * scale - a) + abs(floor - y * scale - b) for a, b in points) < 4e-3
                for x, y in wanted
            )
            for points in drawn
        )


@st.composite
def framed(draw: st.DrawFn) -> Json:
    made = draw(jobs(slats={"run": "upright"}))
    wall = made["wall"]
    wall["ceiling"], height = "swept", wall["height_mm"]
    wall["height_mm"] = {name: height + draw(st.integers(0, 500)) for name in ("left", "middle", "right")}
    return made


@LAWS
@given(made=framed())
def test_every_upright_strip_touches_the_ceiling_and_stays_under_it(made: Json) -> None:
    result = laid(made)
    assert result.sweep is not None
    for strip in (*result.trims, *result.shadow_gaps):
        if strip.side not in ("left", "right"):
            continue
        rect = strip.rect
        foot = rect.bottom
        assert foot == result.face.bottom
        over = [
            result.sweep.at(x) - foot - edge
            for x, edge in zip((rect.left, rect.right), strip.edges, strict=True)
        ]
        assert min(over) >= 0
        assert min(strip.edges) == rect.height
        assert over == [0, 0] or rect.left < result.wall_width / 2 < rect.right


def test_light_reaches_the_highest_point_of_a_slope_beside_a_trim_too(swept: SetOut) -> None:
    lamp = Lamp(name="panel", centre_mm=(1000, 1900, 1200), size_mm=(600, 300), faces="down", lumens=3000)
    found = site([swept], Room(depth_mm=3000), Lighting(name="evening", lamps=(lamp,)))
    np.testing.assert_allclose(found.body, [[0.02, 4.2], [0, 2.52]])
