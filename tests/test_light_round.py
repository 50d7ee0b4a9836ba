"""Lamps in rooms whose walls go round corners: named where they cannot be, free to be round the corner."""

from typing import Any

import pytest

from viewer.job.check import check_job
from viewer.job.choices import lightings
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
    for centre, walls in (
        ((1680, 2390, 700), ["wall 2"]),
        ((1000, 2390, 330), ["wall 1"]),
        ((1600, 2390, 330), ["wall 1", "wall 2"]),
        ((1000, 2390, 1500), []),
    ):
        made = check_job(job("inside", centre)).job
        assert made is not None
        notes = raking_notes(made, lightings(made)[0])
        assert [note.partition("the slats of ")[2].partition(":")[0] for note in notes] == walls
