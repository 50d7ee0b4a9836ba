"""Lamps in rooms whose walls go round corners: named where they cannot be, free to be round the corner."""

from typing import Any

import numpy as np
import pytest

from meshes.light.lamps import Lamp
from meshes.light.placed import carried, lamp_axes, lamp_corners
from meshes.solids.room import footprint, frames, inside_plan
from meshes.solids.section import metres
from viewer.job.check import check_job
from viewer.job.choices import lightings
from viewer.job.model import Job
from viewer.lighting_presets import presets
from viewer.things import raking_notes

FACE_MM = 31
"""Boards of 12 mm, fabric of 1 mm, slats of 18 mm."""


def job(turn: str, centre: tuple[float, float, float], faces: Any = "down") -> dict[str, Any]:
    lamp = {"name": "p", "centre_mm": centre, "size_mm": [300, 300], "faces": faces, "lumens": 1000}
    return {
        "name": "Round the corner",
        "wall": {"width_mm": 2000, "height_mm": 2400},
        "next_walls": [{"turns": turn, "wall": {"width_mm": 1500, "height_mm": 2400}}],
        "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
        "lightings": [{"name": "a", "lamps": [lamp]}],
    }


@pytest.mark.parametrize(
    ("turn", "centre", "faces"),
    [
        ("outside", (2600, 2390, -700), "down"),  # before the second wall
        ("outside", (2600, 2390, 700), "down"),  # round the corner from both
        ("outside", (1000, 2400, 1500), "down"),  # flush in the ceiling
        ("outside", (6000, 1200, 0), "left"),  # flush in the wall opposite the second
        ("inside", (1800, 2390, 700), "down"),
        ("inside", (0, 1200, 2000), "right"),
    ],
)
def test_a_lamp_anywhere_in_the_room_is_no_problem(turn, centre, faces):
    assert check_job(job(turn, centre, faces)).problems == ()


@pytest.mark.parametrize(
    ("turn", "centre", "faces", "key", "says"),
    [
        ("outside", (1800, 2390, -700), "down", "centre_mm", "reaches out of the room"),
        ("outside", (1900, 2390, -100), "down", "centre_mm", "reaches out of the room"),
        ("inside", (2300, 2390, 700), "down", "centre_mm", "(2000, 0), (2000, 4000)"),
        ("inside", (1000, 2500, 1000), "down", "centre_mm", "outside the room's 0 to 2400"),
        ("inside", (1000, 1200, 25), "room", "centre_mm", "reaches to 25 mm from wall 1, into the slats"),
        ("inside", (1975, 1200, 700), "left", "centre_mm", "reaches to 25 mm from wall 2, into the slats"),
        ("inside", (2000 - FACE_MM, 1200, 700), "right", "faces", "faces away from the room"),
        ("inside", (1000, 2400, 1000), "up", "faces", "faces away from the room"),
        ("inside", (0, 1200, 1000), "left", "faces", "faces away from the room"),
        ("outside", (6000, 1200, 0), "right", "faces", "faces away from the room"),
        ("inside", (1000, 1200, 1000), [0, 0, 0], "faces", "faces nowhere"),
    ],
)  # fmt: skip
def test_a_lamp_in_an_odd_place_is_named_by_its_field(turn, centre, faces, key, says):
    ((path, message),) = check_job(job(turn, centre, faces)).problems
    assert path == f"lightings[0].lamps[0].{key}"
    assert says in message


def test_raking_light_is_named_on_the_wall_that_it_rakes():
    for turn, centre, walls in (
        ("inside", (1680, 2390, 700), ["wall 2"]),
        ("inside", (1000, 2390, 330), ["wall 1"]),
        ("inside", (1600, 2390, 330), ["wall 1", "wall 2"]),
        ("inside", (1000, 2390, 1500), []),
        ("outside", (1800, 2390, 330), ["wall 1"]),  # beside wall 2 and behind it
        ("outside", (2100, 2390, 230), ["wall 1", "wall 2"]),
    ):
        made = check_job(job(turn, centre)).job
        assert made is not None
        notes = raking_notes(made, lightings(made)[0])
        assert [note.partition("the slats of ")[2].partition(":")[0] for note in notes] == walls


def plain(turns: str, wide: tuple[int, ...] = (4200, 2600, 3100, 2400), depth: int = 4000) -> Job:
    """Walls so wide that turn inside (i) or outside (o), and no word about light."""
    further = [
        {"turns": {"i": "inside", "o": "outside"}[turn], "wall": {"width_mm": mm, "height_mm": 2500}}
        for turn, mm in zip(turns, wide[1:], strict=False)
    ]
    made = check_job(
        {
            "name": "Round corners",
            "wall": {"width_mm": wide[0], "height_mm": 2400},
            "next_walls": further,
            "room": {"depth_mm": depth, "beyond_left_mm": 300, "beyond_right_mm": 200},
            "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
        }
    )
    assert made.problems == ()
    assert made.job is not None
    return made.job


CORNERS = ("i", "o", "ii", "io", "oi", "oii", "iio")


@pytest.mark.parametrize("turns", CORNERS)
@pytest.mark.parametrize("depth", [700, 4000])
def test_light_to_begin_with_fits_a_room_round_corners_and_reaches_every_wall(turns, depth):
    job = plain(turns, depth=depth)
    given = {**job.model_dump(mode="json", exclude_defaults=True), "name": "Lit"}
    for name, lamps in [
        *((one.name, one.lamps) for one in lightings(job)),
        *((key, one.lamps) for key, (_words, one) in presets(job).items()),
    ]:
        lit = {**given, "lightings": [{"name": "a", "lamps": [one.model_dump(mode="json") for one in lamps]}]}
        assert check_job(lit).problems == (), name
        if name != "lamp":
            for wall in range(len(turns) + 1):
                assert any(reaches(job, lamp, wall) for lamp in lamps), (name, wall)


def reaches(job: Job, lamp: Lamp, wall: int) -> bool:
    """Whether light goes straight from a lamp's middle to somewhere on a wall, 1.2 m above the floor."""
    turns = [after.turns for after in job.next_walls]
    wide = [metres(one.width_mm) for one in (job.wall, *(after.wall for after in job.next_walls))]
    plan, frame = footprint(wide, turns, job.room), frames(wide, turns)[wall]
    middle, normal = lamp_corners(lamp).mean(axis=0) + 1e-3 * lamp_axes(lamp)[2], lamp_axes(lamp)[2]
    for share in np.linspace(0.05, 0.95, 19):
        place = frame[:3, :3] @ [share * wide[wall], 1.2, 0.001] + frame[:3, 3]
        way = place - middle
        on = middle + np.linspace(0, 1, 40)[:, None] * way
        if way @ normal > 0 and way @ frame[:3, 2] < 0 and inside_plan(plan, on[:, [0, 2]]).all():
            return True
    return False


@pytest.mark.parametrize(("turns", "wide"), [("iooi", (2000, 500, 1400, 500, 2000)), ("i", (3000, 500))])
def test_no_ceiling_panel_rakes_the_slats_of_another_wall(turns, wide):
    """A chimney breast, and a short return: a panel for 500 mm would hang 100 mm from the wall beside it."""
    job = plain(turns, wide)
    for lighting in lightings(job):
        assert raking_notes(job, lighting) == []
        for wall in range(len(wide)):
            assert any(reaches(job, lamp, wall) for lamp in lighting.lamps), (lighting.name, wall)


def test_a_niche_in_which_every_panel_rakes_has_an_evening_all_the_same():
    """1200 mm each way: both panels hang before the middle of one wall, too near the other."""
    job = plain("i", (1200, 1200))
    _day, evening = lightings(job)
    assert len(evening.lamps) == 1
    for wall in range(2):
        assert any(reaches(job, lamp, wall) for lamp in evening.lamps), wall


def test_an_outside_corner_has_windows_at_both_ends():
    """Plan: the second wall goes back 2600 mm from (4200, 0), and 200 more; the room is 4000 mm deep."""
    first, second = lightings(plain("o"))[0].lamps
    assert (first.faces, first.centre_mm[0], first.centre_mm[2]) == ("right", -290, 2000)
    assert (second.faces, second.centre_mm[0], second.centre_mm[2]) == ("room", 6200, -2790)


def test_a_lamp_keeps_its_place_before_the_wall_that_it_was_given_for():
    """The strip 300 mm before a second wall round an inside corner at x = 4200 mm."""
    strip = Lamp(name="s", centre_mm=(1000, 2390, 300), size_mm=(1200, 40), faces="down", lumens=500)
    (_, second) = frames([4.2, 2.6], ["inside"])
    there = carried(strip, second)
    assert (there.centre_mm, there.size_mm, there.faces) == ((3900, 2390, 1000), (40, 1200), "down")
    assert carried(strip.model_copy(update={"faces": "wall"}), second).faces == "right"
    with pytest.raises(ValueError, match="expected a lamp that faces down"):
        carried(strip.model_copy(update={"faces": (0, -1, 0.5)}), second)
