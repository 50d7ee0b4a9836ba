"""Marks: what a client sees later is marked where the set-out puts it and nowhere else."""

from fractions import Fraction

import numpy as np
import pytest
from hand_built import Box, demo, rect, upright
from laid_out import placed

from meshes.layout.setout import Panel, Strip
from meshes.solids.scene import build
from meshes.stills.camera import camera
from meshes.stills.marks import lines, marks
from meshes.stills.raster import raster


def kinds(set_out):
    return [kind for kind, _, _ in lines(set_out)]


def test_a_joint_behind_a_slat_is_not_marked_and_one_in_a_gap_is():
    hidden = upright(count=10, panels=2)
    assert "joint" not in kinds(hidden)
    gap = Fraction(5 * 54 - 7)
    boards = (
        Panel(index=0, board=rect(0, 0, gap - 1, 2400), cutouts=(), slats=()),
        Panel(index=1, board=rect(gap + 1, 0, 526 - gap - 1, 2400), cutouts=(), slats=()),
    )
    open_joint = upright(count=10, boards=boards)
    found = [line for kind, _, line in lines(open_joint) if kind == "joint"]
    assert len(found) == 1
    np.testing.assert_allclose(found[0], [[0.263, 0, 0.013], [0.263, 2.4, 0.013]])


def test_boards_one_above_the_other_show_their_joint_in_the_gaps():
    boards = (
        Panel(index=0, board=rect(0, 0, 526, 1199), cutouts=(), slats=()),
        Panel(index=1, board=rect(0, 1201, 526, 1199), cutouts=(), slats=()),
    )
    found = [line for kind, _, line in lines(upright(count=10, boards=boards)) if kind == "joint"]
    np.testing.assert_allclose(found, [[[0, 1.2, 0.013], [0.526, 1.2, 0.013]]])


def test_a_shadow_gap_tapers_by_as_much_as_the_wall_leans():
    strip = Strip(side="left", rect=rect(-12, 0, 12, 2500), kind="shadow_gap")
    set_out = upright(shadow_gaps=(strip,), leans=(Fraction(7), Fraction(0)))
    [(_, measures, ring)] = [found for found in lines(set_out) if found[0] == "shadow gap"]
    assert measures == (19, 12)
    np.testing.assert_allclose(ring[:4, 0], [-0.019, 0, 0, -0.012], atol=1e-12)


def test_overhang_over_the_skirting_is_what_stands_out_beyond_it():
    assert [mm for kind, mm, _ in lines(demo()) if kind == "skirting overhang"] == [(11.0,)]
    assert "skirting overhang" not in kinds(upright())


def test_the_ceiling_line_follows_the_heads_of_the_slats():
    [line] = [line for kind, _, line in lines(demo(10)) if kind == "ceiling line"]
    assert len(line) == 20
    np.testing.assert_allclose(line[:, 1], 2.5)


@pytest.mark.gl
def test_marks_lie_where_the_picture_shows_their_things():
    scene = build([demo()], Box())
    seen = camera("front", scene, 1.6)
    view = raster(scene, seen, 640, 400)
    found = {mark.kind: mark for mark in marks(scene, seen, view)}
    assert set(found) == {"plate", "shadow gap", "skirting overhang", "ceiling line"}
    plate = np.concatenate(found["plate"].pieces)
    parts = np.array([part.name == "plate/0" for part in scene.parts])
    pixels = view.pixel[parts[view.part]]
    assert plate[:, 0].min() == pytest.approx((pixels % 640).min(), abs=1.5)
    assert plate[:, 1].max() == pytest.approx((pixels // 640).max(), abs=1.5)


@pytest.mark.gl
def test_a_mark_behind_something_is_not_drawn_through_it():
    set_out = upright(count=10, boards=(
        Panel(index=0, board=rect(0, 0, 526, 1199), cutouts=(), slats=()),
        Panel(index=1, board=rect(0, 1201, 526, 1199), cutouts=(), slats=()),
    ))  # fmt: skip
    scene = build([set_out], Box(beyond_left_mm=300, beyond_right_mm=300))
    seen = camera("front", scene, 1.0)
    [joint] = [mark for mark in marks(scene, seen, raster(scene, seen, 400, 400)) if mark.kind == "joint"]
    assert len(joint.pieces) == 9  # one stretch a gap


def test_the_ceiling_line_rises_with_heads_that_are_cut_to_it():
    made = placed({"ceiling": "swept", "height_mm": 2100, "ceiling_out_of_level_mm": 420})
    [line] = [line for kind, _, line in lines(made) if kind == "ceiling line"]
    assert len(line) == 2 * len(made.slats)
    np.testing.assert_allclose(line[:, 1], 2.1 + line[:, 0] / 10, atol=1e-9)
