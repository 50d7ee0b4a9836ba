"""Lamps in odd places are named before anything is solved; a job without light gets a day and an evening."""

from fractions import Fraction

import numpy as np
import pytest

from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Wall
from meshes.light.checks import check, warnings
from meshes.light.lamps import Lamp, Lighting
from meshes.light.lookup import room_light
from meshes.light.presets import default_lightings
from meshes.light.room import Room
from meshes.light.transport import solve_lighting
from viewer.answers.set_out import set_outs_of
from viewer.job.check import check_job
from viewer.job.choices import lightings

WALL = Wall(width_mm=Fraction(4200), height_mm=Fraction(2550))
SLATS = Slats(width_mm=Fraction(40), depth_mm=Fraction(16), gap_mm=Fraction(14))


def problems(room=None, **changed):
    given = {
        "name": "strip",
        "centre_mm": (2100, 2000, 500),
        "size_mm": (1000, 40),
        "faces": "down",
        "lumens": 900,
    }
    lamp = Lamp(**{**given, **changed})
    lighting = Lighting(name="evening", lamps=(lamp,))
    return check(wall=WALL, slats=SLATS, panels=Panels(), room=room or Room(), lightings=(lighting,))


def test_a_sound_lamp_is_no_problem():
    assert problems() == []


@pytest.mark.parametrize(
    ("changed", "key", "says"),
    [
        ({"centre_mm": (2100, 2000, -80)}, "centre_mm", "inside or behind the wall"),
        ({"centre_mm": (2100, 2000, 30)}, "centre_mm", "into the slats"),
        ({"centre_mm": (2100, 2000, 15), "size_mm": (1000, 10)}, "centre_mm", "into the slats"),
        ({"centre_mm": (2100, 2700, 500)}, "centre_mm", "outside the room's 0 to 2550"),
        ({"centre_mm": (4000, 2000, 500)}, "centre_mm", "outside the room's 0 to 4200"),
        ({"centre_mm": (2100, 2000, 4100)}, "centre_mm", "outside the room's 0 to 4000"),
        ({"centre_mm": (2100, 2550, 500), "faces": "up"}, "faces", "faces away from the room"),
        ({"centre_mm": (0, 1000, 2000), "faces": "left"}, "faces", "faces away from the room"),
        ({"faces": (0.0, 0.0, 0.0)}, "faces", "faces nowhere"),
    ],
)
def test_a_lamp_in_an_odd_place_is_named_by_its_field(changed, key, says):
    found = problems(**changed)
    assert [path for path, _ in found] == [f"lightings[0].lamps[0].{key}"]
    assert says in found[0][1]


def test_a_window_flush_in_the_side_wall_is_accepted():
    assert problems(centre_mm=(0, 1300, 2000), size_mm=(1600, 1300), faces="right") == []


ATTIC = {
    "name": "Attic",
    "wall": {
        "width_mm": 4000,
        "height_mm": {"left": 1400, "middle": 2000, "right": 2600},
        "ceiling": "swept",
    },
    "slats": {"width_mm": 44, "depth_mm": 20, "gap_mm": 14},
}


def test_under_a_slope_a_lamp_may_hang_as_high_as_the_ceiling_over_it():
    """0.3 mm of rise a millimetre: 2450 mm at x = 3500, and 1850 mm at x = 1500."""
    lamp = {"name": "p", "size_mm": [200, 200], "faces": "down", "lumens": 900}
    for x, y, good in ((3600, 2440, True), (3600, 2460, False), (1600, 1840, True), (1600, 1860, False)):
        lamps = [{**lamp, "centre_mm": [x, y, 1500]}]
        problems = check_job({**ATTIC, "lightings": [{"name": "a", "lamps": lamps}]}).problems
        assert [path for path, _ in problems] == ([] if good else ["lightings[0].lamps[0].centre_mm"])


def test_under_a_slope_panels_hang_just_under_the_ceiling():
    job = check_job(ATTIC).job
    assert job is not None
    evening = lightings(job)[1]
    side = evening.lamps[0].size_mm[0] / 2
    assert [one.centre_mm[1] for one in evening.lamps] == [
        pytest.approx(1400 + 0.3 * (one.centre_mm[0] - side) - 10) for one in evening.lamps
    ]


def test_a_room_thinner_than_the_slats_is_named():
    deep = Slats(width_mm=Fraction(40), depth_mm=Fraction(290), gap_mm=Fraction(14))
    found = check(wall=WALL, slats=deep, panels=Panels(), room=Room(depth_mm=300), lightings=())
    assert [path for path, _ in found] == ["room.depth_mm"]
    assert "303" in found[0][1]


def test_all_problems_at_once_and_doubled_names():
    lamps = (
        Lamp(name="a", centre_mm=(2100, 9000, 500), size_mm=(100, 100), faces="down", lumens=1),
        Lamp(name="a", centre_mm=(2100, 2000, 500), size_mm=(100, 100), faces=(0.0, 0.0, 0.0), lumens=1),
    )
    lightings = (Lighting(name="x", lamps=lamps),)
    found = check(wall=WALL, slats=SLATS, panels=Panels(), room=Room(), lightings=lightings)
    assert sorted(path for path, _ in found) == [
        "lightings[0].lamps[0].centre_mm",
        "lightings[0].lamps[1].faces",
        "lightings[0].lamps[1].name",
    ]


@pytest.mark.parametrize(("out", "expected"), [(190, 1), (328, 1), (330, 0), (1500, 0)])
def test_raking_light_is_warned_of_within_300_mm_of_the_face(out, expected):
    """The face stands 12 + 1 + 16 = 29 mm out of the wall; 300 mm is common practice."""
    lamp = Lamp(name="strip", centre_mm=(2100, 2500, out), size_mm=(1000, 1), faces="down", lumens=9)
    lighting = Lighting(name="evening", lamps=(lamp,))
    found = warnings(wall=WALL, slats=SLATS, panels=Panels(), lightings=(lighting,))
    assert len(found) == expected
    assert all("0.3 mm" in message for _, message in found)


@pytest.mark.parametrize("width", [100, 900, 4200, 20_000, 60_000])
@pytest.mark.parametrize("height", [300, 2550, 12_000])
@pytest.mark.parametrize("depth", [300, 4000, 60_000])
def test_day_and_evening_fit_into_any_accepted_room(width, height, depth):
    thin = Slats(width_mm=Fraction(3), depth_mm=Fraction(3), gap_mm=Fraction(3))
    room = Room(depth_mm=depth, beyond_left_mm=500)
    wall = Wall(width_mm=Fraction(width), height_mm=Fraction(height))
    lightings = default_lightings(wall.width_mm, wall.height_mm, room)
    assert [one.name for one in lightings] == ["day", "evening"]
    assert check(wall=wall, slats=thin, panels=Panels(), room=room, lightings=lightings) == []


def test_a_doorway_that_rises_past_the_low_side_of_a_slope_is_lit_without_a_seam():
    """The wall's plane behind the opening, a centimetre under and over 1400 mm, where the low side ends."""
    door = {"kind": "door", "left_mm": 2900, "bottom_mm": 0, "width_mm": 820, "height_mm": 2040}
    job = check_job({**ATTIC, "openings": [door]}).job
    assert job is not None
    transport = solve_lighting(set_outs_of(job), job.room, lightings(job)[1])
    places = np.array([[3.3, y, 0.0] for y in (1.37, 1.39, 1.41, 1.43)])
    found = np.zeros(4)
    for values, rows, mix in room_light(transport, places, np.tile([0.0, 0.0, 1.0], (4, 1))):
        found[rows] += (values @ mix)[:, :3].sum(axis=1)
    slow = abs(found[1] - found[0]) + abs(found[3] - found[2])
    assert abs(found[2] - found[1]) < max(slow, 0.01 * found[1])
