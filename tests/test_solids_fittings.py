"""Doors, windows, radiators and cornices: closed solids where the survey has them, clear of the slats."""

import numpy as np
import pytest
import trimesh

from meshes.solids.props import Extras
from meshes.solids.quads import UNSEEN
from meshes.solids.scene import build, prop_boxes
from meshes.surfaces import PROP_ID, SURFACES
from viewer.answers.set_out import set_outs_of, surveys_of
from viewer.job.check import check_job

JOB = {
    "name": "Invented study",
    "wall": {
        "width_mm": 5200,
        "height_mm": {"left": 2600, "middle": 2590, "right": 2570},
        "cornice_mm": 90,
        "cornice_projection_mm": 60,
    },
    "openings": [
        {
            "kind": "door",
            "left_mm": 400,
            "bottom_mm": 0,
            "width_mm": 830,
            "height_mm": 2040,
            "architrave_mm": 70,
            "architrave_projection_mm": 18,
            "leaf": {"hinge": "right", "width_mm": 820},
        },
        {
            "kind": "window",
            "left_mm": 2000,
            "bottom_mm": 900,
            "width_mm": 1500,
            "height_mm": 1100,
            "architrave_mm": 60,
            "architrave_projection_mm": 15,
        },
        {"kind": "radiator", "left_mm": 2100, "bottom_mm": 150, "width_mm": 1300, "height_mm": 500},
        {"kind": "socket", "left_mm": 4200, "bottom_mm": 450, "width_mm": 86, "height_mm": 86},
    ],
    "slats": {"width_mm": 40, "depth_mm": 18, "gap_mm": 16},
}
KINDS = {"architrave": 2, "door": 1, "handle": 1, "window": 1, "pane": 2, "radiator": 1, "cornice": 1}


@pytest.fixture(scope="module")
def scene():
    result = check_job(JOB)
    assert result.job is not None, result.problems
    return build(set_outs_of(result.job), result.job.room, surveys=surveys_of(result.job))


def test_each_fitting_is_a_closed_solid_where_it_was_measured(scene):
    found = {part.name: part for part in scene.parts if part.name.partition("/")[0] in KINDS}
    counts = {kind: sum(name.startswith(f"{kind}/") for name in found) for kind in KINDS}
    assert counts == KINDS
    for part in found.values():
        assert part.mesh.is_volume, part.name
        assert part.faces.surfaces.max() < len(SURFACES)
    bounds = {name: part.mesh.bounds for name, part in found.items()}
    assert bounds["door/0"][:, 0] == pytest.approx([0.403, 1.227])
    assert bounds["architrave/0"][:, 0] == pytest.approx([0.33, 1.3])
    assert bounds["architrave/0"][:, 1] == pytest.approx([0.0, 2.11])
    assert bounds["architrave/1"][:, 1] == pytest.approx([0.84, 2.06])
    assert bounds["radiator/0"][:, 1] == pytest.approx([0.15, 0.65])
    assert bounds["handle/0"][1, 0] < 0.6, "a leaf hung on the right has its handle on the left"
    assert bounds["cornice/0"][1] == pytest.approx([5.2, 2.6, 0.06], abs=2e-5)


def test_an_open_leaf_stands_before_the_slats_as_far_as_it_folds_back():
    """Build-up 31, architrave 18: 180 - max(atan(13/70), asin(13/822.2) + atan(60/820)) degrees."""
    result = check_job(JOB)
    assert result.job is not None
    walls, surveys = set_outs_of(result.job), surveys_of(result.job)
    opened = build(walls, result.job.room, extras=Extras(leaves=True), surveys=surveys)
    parts = {part.name: part for part in opened.parts}
    assert "door/0" not in parts
    assert "handle/0" not in parts
    leaf, total = parts["leaf/0"], float(walls[0].build_up.total) / 1000
    assert np.bincount(leaf.faces.surfaces)[[PROP_ID["leaf"], UNSEEN]].tolist() == [5 * 4 + 2, 2 * 4]
    assert trimesh.Trimesh(leaf.faces.corners.reshape(-1, 3), leaf.faces.triangles()).is_volume
    turn = max(np.arctan2(total - 0.018, 0.07), np.arcsin((total - 0.018) / np.hypot(0.82, 0.06)) + 0.07304)
    points = leaf.faces.corners.reshape(-1, 3)
    tip = points[points[:, 0].argmax()]
    assert tip[[0, 2]] == pytest.approx([1.23 + 0.82 * np.cos(turn), 0.018 + 0.82 * np.sin(turn)], abs=1e-3)
    # seen from the room, a slat beside the opening lies behind it
    beside = points[np.abs(points[:, 0] - 1.3) < 0.1]
    assert beside[:, 2].max() > total
    for low, high, _ in prop_boxes(opened):
        assert low[2] > total
        assert np.subtract(high, low).min() > 0.01


def test_the_cornice_follows_a_ceiling_that_falls(scene):
    cornice = next(part for part in scene.parts if part.name == "cornice/0")
    points = cornice.faces.corners.reshape(-1, 3)
    for x, height in ((0.0, 2.6), (2.6, 2.59), (5.2, 2.57)):
        near = points[np.abs(points[:, 0] - x) < 1e-4, 1]
        assert near.max() == pytest.approx(height, abs=2e-5)
        assert near.min() == pytest.approx(height - 0.09, abs=2e-5)


def test_no_fitting_cuts_into_a_slat(scene):
    """Boxes about each slat's pieces and about each fitting share no room."""
    fittings = [part for part in scene.parts if part.name.partition("/")[0] in KINDS]
    for part in fittings:
        low, high = part.mesh.bounds
        for slat in (part for part in scene.parts if part.slat >= 0):
            for solid in slat.faces.corners.reshape(-1, 24, 3):
                shared = np.minimum(high, solid.max(axis=0)) - np.maximum(low, solid.min(axis=0))
                assert shared.min() <= 1e-6, (part.name, slat.name)
