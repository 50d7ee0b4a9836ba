"""The room in plan and in sections round corners: corners worked out by hand from widths, turns and depth.

Walls of 2000 and 1500 mm, the room 3000 deep and 500 and 400 beyond its ends; slats stand 31 mm out (board
12, fabric 1, slat 18). Plan with the outside corner, z towards the reader's feet::

                  -1900   +--------+ 5000
                   wall 2 |        |
       0 +---- 2000 ------+        |
      -500     wall 1              |
         +-------------------------+ 3000
"""

from typing import Any

import pytest

from viewer.job.check import check_job
from viewer.pages.lamp_fields import face_words
from viewer.pages.lamp_planes import plane_views
from viewer.pages.room_drawn import Drawing, WallInPlan, drawings, walls_in_plan

HIGH = 2400
LAMP = {"name": "p", "centre_mm": [1500, 2390, 700], "size_mm": [400, 300], "faces": "down"}


def document(*turns: str, wide: tuple[int, ...] = (2000, 1500, 1600)) -> dict[str, Any]:
    walls = [{"width_mm": width, "height_mm": HIGH} for width in wide]
    return {
        "name": "Round the corner",
        "wall": walls[0],
        "next_walls": [{"turns": turn, "wall": wall} for turn, wall in zip(turns, walls[1:], strict=False)],
        "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 14},
        "room": {"depth_mm": 3000, "beyond_left_mm": 500, "beyond_right_mm": 400},
    }


def drawn(*turns: str, **more: Any) -> tuple[list[WallInPlan], list[Drawing]]:
    job = check_job(document(*turns, **more)).job
    assert job is not None
    walls = walls_in_plan(job)
    return walls, drawings(walls, job.room)


def box(left: float, right: float) -> tuple[tuple[float, float], ...]:
    return ((left, -HIGH), (right, -HIGH), (right, 0), (left, 0))


def kinds(drawing: Drawing) -> list[tuple[str, tuple[tuple[float, float], ...]]]:
    return [(shape.kind, shape.corners) for shape in drawing.shapes]


def test_plan_round_an_outside_corner() -> None:
    plan = drawn("outside")[1][0]
    assert kinds(plan) == [
        ("room", ((-500, 0), (2000, 0), (2000, -1900), (5000, -1900), (5000, 3000), (-500, 3000))),
        ("slats", ((0, 0), (2000, 0), (2000, 31), (0, 31))),
        ("slats", ((2000, 0), (2000, -1500), (2031, -1500), (2031, 0))),
    ]
    assert plan.box == (-500, -1900, 5500, 4900)
    assert plan.names == ((1, (1000, 0), (0, -1)), (2, (2000, -750), (-1, 0)))


def test_plan_round_an_inside_corner() -> None:
    """The second run starts where the build-up of the first ends."""
    plan = drawn("inside")[1][0]
    assert kinds(plan) == [
        ("room", ((-500, 0), (2000, 0), (2000, 3000), (-500, 3000))),
        ("slats", ((0, 0), (2000, 0), (2000, 31), (0, 31))),
        ("slats", ((2000, 31), (2000, 1500), (1969, 1500), (1969, 31))),
    ]
    assert plan.names == ((1, (1000, 0), (0, -1)), (2, (2000, 750), (1, 0)))


def test_sections_round_an_outside_corner() -> None:
    """Each from its own wall to the far side; the rest of the room stands behind it."""
    _plan, first, second = drawn("outside")[1]
    assert kinds(first) == [("rest", box(-1900, 3000)), ("room", box(0, 3000)), ("slats", box(0, 31))]
    assert (first.axes, first.signs) == ((2, 1), (1, -1))
    assert kinds(second) == [("rest", box(-500, 5000)), ("room", box(2000, 5000)), ("slats", box(2000, 2031))]
    assert (second.axes, second.signs) == ((0, 1), (1, -1))


def test_section_round_an_inside_corner() -> None:
    """Out of the second wall is to the left in the plan, and to the right in its section."""
    second = drawn("inside")[1][2]
    assert kinds(second) == [("room", box(-2000, 500)), ("slats", box(-2000, -1969))]
    assert (second.axes, second.signs) == ((0, 1), (-1, -1))
    assert second.words == "Section of wall 2, from its left"


def test_a_wall_opposite_is_cut_too() -> None:
    """Where the middle of the first wall, 1000, lies before the third, which goes from 2000 to 400."""
    section = drawn("inside", "inside")[1][1]
    assert kinds(section) == [("room", box(0, 1500)), ("slats", box(0, 31)), ("slats", box(1469, 1500))]
    assert [number for number, _at, _behind in section.names] == [1, 3]


def test_a_wall_that_is_not_cut_is_only_seen() -> None:
    """A return of 600 mm between two walls that face alike: before the first one's middle is no third."""
    _plan, first, _second, third = drawn("inside", "outside", wide=(2000, 600, 1600))[1]
    assert kinds(first) == [("room", box(0, 3600)), ("slats", box(0, 31)), ("seen", box(600, 631))]
    assert kinds(third) == [
        ("rest", box(0, 3600)),
        ("room", box(600, 3600)),
        ("seen", box(0, 31)),
        ("slats", box(600, 631)),
    ]


def test_walls_in_one_plane_are_cut_where_the_section_goes() -> None:
    """A chimney breast: the fifth wall goes on in the plane of the first, beside the cut."""
    wide = (1200, 500, 1600, 500, 1400)
    section = drawn("inside", "outside", "outside", "inside", wide=wide)[1][1]
    assert kinds(section) == [
        ("room", box(0, 3500)),
        ("slats", box(0, 31)),
        ("seen", box(500, 531)),
        ("seen", box(0, 31)),
    ]


def test_what_is_behind_the_wall_opposite_is_only_seen() -> None:
    """The third wall goes round the end of a spur 300 thick; the fifth is the spur's other side."""
    wide = (2000, 600, 1600, 300, 2000)
    section = drawn("inside", "inside", "outside", "outside", wide=wide)[1][1]
    assert kinds(section) == [
        ("rest", box(0, 3900)),
        ("room", box(0, 600)),
        ("slats", box(0, 31)),
        ("slats", box(569, 600)),
        ("seen", box(900, 931)),
    ]


def test_one_wall_is_drawn_as_a_box() -> None:
    plan, section = drawn()[1]
    room = ((-500, 0), (2400, 0), (2400, 3000), (-500, 3000))
    assert kinds(plan) == [("room", room), ("slats", ((0, 0), (2000, 0), (2000, 31), (0, 31)))]
    assert kinds(section) == [("room", box(0, 3000)), ("slats", box(0, 31))]
    assert (plan.words, section.words) == ("Plan, from above", "Section, from the left")
    assert (plan.names, section.names) == ((), ())


@pytest.mark.parametrize(("wall", "at"), [(1, (700, -2390)), (2, (-1500, -2390))])
def test_a_lamp_stands_as_far_from_each_wall_as_its_numbers_say(wall: int, at: tuple[float, float]) -> None:
    """Wall 1 at 0 in its section, wall 2 at -2000 in its own: 700 and 500 before them."""
    job = check_job(document("inside")).job
    assert job is not None
    (lamp,) = plane_views(walls_in_plan(job), job.room, [LAMP])[wall]["lamps"]
    assert lamp["at"] == at


@pytest.mark.parametrize(
    ("turns", "words"),
    [
        (
            (),
            {"left": "to the left", "right": "to the right", "wall": "at the wall", "room": "into the room"},
        ),
        (("inside",), {"left": "to the left", "right": "to the right, at wall 2", "wall": "at wall 1"}),
        (("outside",), {"left": "to the left, at wall 2", "right": "to the right", "wall": "at wall 1"}),
        (("inside", "inside"), {"wall": "at wall 1", "room": "away from wall 1, at wall 3"}),
        (("inside", "outside"), {"wall": "at walls 1, 3", "right": "to the right, at wall 2"}),
    ],
)
def test_where_a_lamp_shines_names_the_walls_that_it_meets(
    turns: tuple[str, ...], words: dict[str, str]
) -> None:
    assert words.items() <= face_words(drawn(*turns)[0]).items()


def test_numbers_of_lamps_keep_clear_of_walls_names_and_of_each_other() -> None:
    """Under the ceiling before wall 1: the first two lamps are one behind the other as its section sees them,
    and that of the third, close to the wall, would stand on the name behind it.
    """
    lamps = [{**LAMP, "centre_mm": [x, 2390, z]} for x, z in ((500, 900), (1500, 900), (1000, 200))]
    job = check_job(document("inside")).job
    assert job is not None
    plan, section, _second = plane_views(walls_in_plan(job), job.room, lamps)
    across, down = zip(*(lamp["number_at"] for lamp in section["lamps"]), strict=True)
    assert (across[0], across[2]) == (0, 0)
    assert across[1] == pytest.approx(section["letters_mm"], abs=0.5)  # that is rounded
    assert len(set(down)) == 1
    below = [lamp["number_at"][1] > 0 for lamp in plan["lamps"]]
    assert below == [False, False, True]
