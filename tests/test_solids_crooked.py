"""Rooms out of true: leaning ends, tapering recesses, a ceiling that falls; no hole to look out of."""

from fractions import Fraction

import numpy as np
import pytest
from hand_built import Box, rect, upright

from meshes.layout.setout import Strip
from meshes.solids.scene import build
from meshes.stills.camera import camera
from meshes.stills.raster import raster


def leaning(left, right=0, **more):
    return upright(leans=(Fraction(left), Fraction(right)), wall_height=Fraction(2400), **more)


def room_of(scene):
    return {part.name: part for part in scene.parts if part.name.startswith("room/")}


@pytest.mark.parametrize(("lean", "foot", "head"), [(7, -0.007, 0), (-7, 0, -0.007)])
def test_a_leaning_wall_stands_back_where_the_run_is_not_narrowest(lean, foot, head):
    left = room_of(build([leaning(lean)], Box()))["room/left"]
    by_height = left.mesh.vertices[np.argsort(left.mesh.vertices[:, 1])]
    np.testing.assert_allclose(by_height[:2, 0], foot, atol=1e-12)
    np.testing.assert_allclose(by_height[2:, 0], head, atol=1e-12)
    corners = left.faces.corners[0]
    assert np.ptp((corners - corners[0]) @ left.faces.normals[0]) < 1e-12


def test_a_wall_leans_only_where_the_run_meets_it():
    room = room_of(build([leaning(7, 7)], Box(beyond_left_mm=500)))
    assert np.ptp(room["room/left"].mesh.vertices[:, 0]) == 0
    assert np.ptp(room["room/right"].mesh.vertices[:, 0]) == pytest.approx(0.007)


def test_the_recess_beside_a_leaning_wall_tapers():
    """12 mm at the head where the wall leans in, 19 mm at the foot: as the scribed strip is cut."""
    strip = Strip(side="left", rect=rect(-12, 0, 12, 2400), kind="shadow_gap")
    scene = build([leaning(7, shadow_gaps=(strip,))], Box())
    gap = next(part for part in scene.parts if part.name == "shadow_gap/0")
    assert gap.mesh.is_volume
    assert gap.mesh.volume == pytest.approx(0.001 * 2.4 * (0.012 + 0.019) / 2)


def test_a_slat_against_a_leaning_wall_gets_a_scribed_strip():
    scene = build([leaning(7, -5)], Box())
    strips = [part for part in scene.parts if part.name.startswith("trim/")]
    assert len(strips) == 2
    for part, taper in zip(strips, (0.007, 0.005), strict=True):
        assert part.mesh.is_volume
        assert np.ptp(part.mesh.bounds[:, 0]) == pytest.approx(taper)
        assert part.mesh.bounds[1][2] == pytest.approx(0.013)  # as deep as the board and its cloth


def test_a_ceiling_that_falls_is_drawn_by_its_three_heights():
    heights = (Fraction(2400), Fraction(2410), Fraction(2390))
    scene = build([upright(ceiling=heights, wall_height=Fraction(2390))], Box(beyond_right_mm=500))
    corners = room_of(scene)["room/ceiling"].faces.corners.reshape(-1, 3)
    for x, y in ((0, 2.4), (0.263, 2.41), (0.526, 2.39), (1.026, 2.39)):
        assert np.unique(corners[np.isclose(corners[:, 0], x), 1]) == pytest.approx([y])


@pytest.mark.gl
@pytest.mark.parametrize("lean", [25, -25, 0])
def test_no_view_looks_out_of_a_crooked_room(lean):
    heights = (Fraction(2400), Fraction(2440), Fraction(2370))
    set_out = upright(leans=(Fraction(lean), Fraction(-lean)), ceiling=heights, wall_height=Fraction(2370))
    scene = build([set_out], Box())
    for name in ("front", "left", "right"):
        view = raster(scene, camera(name, scene, 1.5), 300, 200, 4)
        assert (view.face >= 0).all()
        # positions come from the faces' planes: none lies beyond the room's own corners
        assert np.abs(view.position[:, 0] - 0.263).max() < 0.263 + 0.026
        assert view.position[:, 1].max() < 2.4401


def test_a_true_room_stays_a_box_of_six_faces():
    assert [len(part.faces) for part in room_of(build([upright()], Box())).values()] == [1] * 6
