"""Views: where the cameras stand, what they show, and what is refused."""

import json
import math

import numpy as np
import pytest
from hand_built import Box, demo, rect, upright

from meshes.solids.scene import build
from meshes.stills.camera import VIEWS, camera, views
from meshes.stills.given import ViewError, inside_by


def seen(found, points, aspect):
    """Picture coordinates of world points, -1 to 1 across and up inside the picture."""
    local = (np.asarray(points, float) - found.eye) @ found.world_from_camera[:3, :3]
    half = math.tan(math.radians(found.vertical_fov_deg) / 2)
    return local[:, :2] / -local[:, 2:] / [half * aspect, half]


@pytest.mark.parametrize("aspect", [16 / 9, 1.0, 3 / 4, 3.0])
@pytest.mark.parametrize("room", [Box(), Box(depth_mm=900), Box(beyond_left_mm=800, beyond_right_mm=2000)])
@pytest.mark.parametrize("view", VIEWS)
def test_every_named_camera_stands_clear_inside_the_room_and_sees_the_wall(view, room, aspect):
    scene = build([demo()], room)
    found = camera(view, scene, aspect)
    assert inside_by(found.eye, scene) >= 0.1 - 1e-9
    turn = found.world_from_camera[:3, :3]
    np.testing.assert_allclose(turn @ turn.T, np.eye(3), atol=1e-12)
    assert turn[1, 0] == pytest.approx(0)  # no roll
    grid = [[x, y, 0.029] for x in np.linspace(0, 4.05, 40) for y in np.linspace(0, 2.5, 25)]
    inside = (np.abs(seen(found, grid, aspect)) < 1).all(axis=1)
    assert inside.mean() > 0.02


def test_front_shows_the_whole_wall_when_the_room_is_deep_enough():
    scene = build([demo()], Box(depth_mm=6000))
    found = camera("front", scene, 16 / 9)
    assert found.note == ""
    corners = [[x, y, 0.029] for x in (0, 4.048) for y in (0, 2.55)]
    assert np.abs(seen(found, corners, 16 / 9)).max() < 1
    np.testing.assert_array_equal(found.world_from_camera[:3, :3], np.eye(3))


@pytest.mark.parametrize("turns", [("inside", "inside"), ("inside", "outside"), ("outside", "inside")])
@pytest.mark.parametrize("aspect", [16 / 9, 3 / 4])
def test_walls_round_corners_have_a_view_each_from_straight_before_them(turns, aspect):
    scene = build([demo(), upright(30), upright(22)], Box(depth_mm=3500), turns)
    assert views(3) == (*VIEWS, "wall-2", "wall-3")
    for wall in (1, 2):
        found, frame = camera(f"wall-{wall + 1}", scene, aspect), scene.frames[wall]
        assert inside_by(found.eye, scene) >= 0.1 - 1e-9
        np.testing.assert_allclose(found.world_from_camera[:3, :3], frame[:3, :3], atol=1e-12)
        width = float(scene.set_outs[wall].wall_width) / 1000
        middle = frame[:3, :3] @ [width / 2, scene.height / 2, 0] + frame[:3, 3]
        np.testing.assert_allclose(seen(found, [middle], aspect), 0, atol=1e-9)
        ends = [frame[:3, :3] @ [x, 1.2, 0.029] + frame[:3, 3] for x in (0.0, width)]
        assert found.note or np.abs(seen(found, ends, aspect)[:, 0]).max() < 1


def test_the_only_wall_has_no_view_of_a_second():
    with pytest.raises(ViewError, match="'wall-2' is not one of front, seated, left, right, close, nor"):
        camera("wall-2", build([demo()], Box()), 16 / 9)


def test_front_widens_to_75_degrees_then_shows_the_middle_and_says_so():
    scene = build([demo()], Box(depth_mm=1500))
    found = camera("front", scene, 16 / 9)
    across = 2 * math.degrees(math.atan(math.tan(math.radians(found.vertical_fov_deg / 2)) * 16 / 9))
    assert across == pytest.approx(75)
    away = 1.5 - 0.1 - 0.029
    shown = 2 * away * math.tan(math.radians(37.5))
    assert found.note == f"The room is too shallow to show the whole wall: this is its middle {shown:.1f} m."
    assert np.abs(seen(found, [[4.048 / 2, 1.275, 0.029]], 16 / 9)).max() == pytest.approx(0, abs=1e-9)


def test_close_shows_a_metre_of_the_face():
    scene = build([demo()], Box())
    found = camera("close", scene, 16 / 9)
    row = seen(found, [[x, found.eye[1], 0.029] for x in np.linspace(0, 4, 4001)], 16 / 9)[:, 0]
    assert np.count_nonzero(np.abs(row) < 1) / 1000 == pytest.approx(1.0, abs=0.15)
    # and it looks past the edges of the slats: one side of each shows
    assert abs(found.world_from_camera[0, 2]) > 0.2


def test_left_and_right_mirror_each_other_on_a_symmetric_wall():
    scene = build([upright(count=60, hole=None)], Box(beyond_left_mm=500, beyond_right_mm=500))
    left, right = camera("left", scene, 1.6), camera("right", scene, 1.6)
    width = float(scene.set_outs[0].wall_width) / 1000
    assert left.eye[0] == pytest.approx(width - right.eye[0])
    np.testing.assert_allclose(left.eye[1:], right.eye[1:])


def test_a_camera_as_json_round_trips_through_its_description():
    scene = build([demo()], Box())
    found = camera("seated", scene, 16 / 9)
    again = camera(json.dumps(found.described(1600, 900)), scene, 16 / 9)
    np.testing.assert_allclose(again.world_from_camera, found.world_from_camera)
    assert again.vertical_fov_deg == found.vertical_fov_deg
    flat = {"world_from_camera": found.world_from_camera.ravel().tolist(), "vertical_fov_deg": 40}
    assert camera(flat, scene, 1.0).vertical_fov_deg == 40


def placed(x, y, z):
    matrix = np.eye(4)
    matrix[:3, 3] = [x, y, z]
    return {"world_from_camera": matrix.tolist(), "vertical_fov_deg": 40}


@pytest.mark.parametrize(
    ("view", "message"),
    [
        ("sideways", "view: 'sideways' is not one of front, seated, left, right, close, nor a camera as J"),
        ("{", "view: not JSON"),
        ({}, "view.world_from_camera: expected four rows of four numbers, in metres; "
             "view.vertical_fov_deg: expected a number from 1 to 120 degrees"),
        ({**placed(2, 1, 2), "vertical_fov_deg": float("nan")}, "view.vertical_fov_deg: expected a number"),
        ({**placed(2, 1, 2), "fov": 3}, "view.fov: unknown; accepted: height, vertical_fov_deg, width"),
        ({"world_from_camera": (2 * np.eye(4)).tolist(), "vertical_fov_deg": 40}, "a turn and a shift only"),
        (placed(2, 1, 5), "view: the camera stands 1000 mm outside the room; it must stay at least 100 mm"),
        (placed(2, 0.04, 2), "view: the camera stands 40 mm inside the room; it must stay at least 100 mm"),
    ],
)  # fmt: skip
def test_views_that_cannot_be_taken_are_named(view, message):
    scene = build([demo()], Box())
    with pytest.raises(ViewError) as caught:
        camera(view, scene, 1.5)
    assert str(caught.value).startswith(message) or message in str(caught.value)


def test_a_camera_inside_a_solid_is_named_and_one_in_a_cut_out_is_not():
    deep = upright(count=10, depth=300, hole=rect(100, 1000, 300, 300), plates=())
    scene = build([deep], Box())
    with pytest.raises(ViewError, match="view: the camera stands inside slat/4"):
        camera(placed(0.225, 0.5, 0.2), scene, 1.0)
    assert camera(placed(0.225, 1.15, 0.2), scene, 1.0).eye[2] == pytest.approx(0.2)
