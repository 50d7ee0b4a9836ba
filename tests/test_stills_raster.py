"""Views as samples: exact positions, weights, no beating between slats and pixels, one raster a view."""

import multiprocessing
import os
import time

import numpy as np
import pytest
from hand_built import Box, demo, level, upright

from meshes.solids.scene import build
from meshes.stills import gl
from meshes.stills.camera import Camera, camera
from meshes.stills.raster import bands, raster, samples_a_side, smallest_pitch_px
from meshes.stills.sampling import sample_offsets
from meshes.surfaces import SURFACE_ID

pytestmark = pytest.mark.gl

# Linear reflectances of a pale front, a darker side and a nearly black gap: the strongest beat there can be.
FLAT = np.full(256, 0.5, np.float32)
FLAT[[SURFACE_ID[word] for word in ("slat_front", "slat_side", "fabric")]] = 0.8, 0.2, 0.02


def encoded(linear):
    """sRGB in 8-bit steps, IEC 61966-2-1, unrounded."""
    return 255 * np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


def flat_picture(scene, view, width, height, supersample=None):
    found = raster(scene, view, width, height, supersample)
    return found.filtered(FLAT[found.surface])


def row_means(picture, window):
    """Means of light, which is what a screen's pixels add up to in the eye, on the scale of its codes."""
    columns = picture.shape[1] // window * window
    return encoded(picture[:, :columns].reshape(len(picture), -1, window).mean(axis=2))


@pytest.mark.parametrize(
    ("set_out", "name"),
    [(demo(24), "front"), (demo(24), "seated"), (demo(24), "left"), (level(count=20), "front")],
)
def test_no_moire_at_three_pixels_a_pitch(set_out, name):
    """Against 16 x 16 samples a pixel: a picture sixteen times larger, averaged in linear light."""
    scene = build([set_out], Box(beyond_left_mm=300, beyond_right_mm=300))
    view = camera(name, scene, 1.5)
    height = round(480 * 3 / smallest_pitch_px(scene, view, 480))
    height = min(height, 100)  # a raking view then goes on below one pixel a pitch
    width = round(1.5 * height)
    ours = flat_picture(scene, view, width, height)
    large = raster(scene, view, 16 * width, 16 * height, 1)
    truth = large.filtered(FLAT[large.surface]).reshape(height, 16, width, 16).mean(axis=(1, 3))
    if set_out.run == "level":
        ours, truth = ours.T, truth.T
    assert np.abs(row_means(ours, 24) - row_means(truth, 24)).max() <= 2


@pytest.mark.parametrize("pitch_px", [1.0, 1.5, 2.0, 3.0, 4.0])
def test_no_moire_where_pitch_and_pixels_are_locked(pitch_px):
    """Head-on, every pitch falls on the pixels in the same way: the hardest case for point samples.

    The truth needs more columns than sixteen here: its own steps would be 1/16 of a pixel for all pitches.
    """
    set_out = upright(count=64, width=40, gap=14)
    scene = build([set_out], Box(depth_mm=6000, beyond_left_mm=500, beyond_right_mm=500))
    matrix = np.eye(4)
    matrix[:3, 3] = [64 * 0.054 / 2, 1.2, 4.0]
    height = 4
    focal = pitch_px * (4.0 - 0.029) / 0.054
    fov = 2 * np.degrees(np.arctan(height / 2 / focal))
    view = Camera(world_from_camera=matrix, vertical_fov_deg=float(fov))
    width = int(56 * pitch_px) // 8 * 8
    ours = flat_picture(scene, view, width, height)
    large = raster(scene, view, 64 * width, 64 * height, 1)
    truth = large.filtered(FLAT[large.surface]).reshape(height, 64, width, 64).mean(axis=(1, 3))
    window = int(8 * pitch_px)
    assert np.abs(row_means(ours, window) - row_means(truth, window)).max() <= 2


def test_two_samples_a_side_would_beat():
    """The check above can fail: a plain coarse grid does."""
    scene = build([upright(count=64)], Box(depth_mm=6000))
    matrix = np.eye(4)
    matrix[:3, 3] = [64 * 0.054 / 2, 1.2, 4.0]
    fov = 2 * np.degrees(np.arctan(32 / (3 * (4.0 - 0.029) / 0.054)))
    view = camera({"world_from_camera": matrix.tolist(), "vertical_fov_deg": fov}, scene, 3)
    coarse = row_means(flat_picture(scene, view, 168, 64, 1), 24)
    fine = row_means(flat_picture(scene, view, 168, 64, 8), 24)
    assert np.abs(coarse - fine).max() > 2


@pytest.mark.parametrize("name", ["front", "seated", "left", "close"])
def test_positions_lie_on_their_faces_and_project_back_into_their_pixels(name):
    scene = build([demo()], Box())
    view = camera(name, scene, 1.6)
    found = raster(scene, view, 320, 200)
    assert (found.face >= 0).all()
    corners = scene.faces.corners[found.face]
    off_plane = ((found.position - corners[:, 0]) * scene.faces.normals[found.face]).sum(axis=1)
    assert np.abs(off_plane).max() < 2e-6  # float32 metres
    low, high = corners.min(axis=1), corners.max(axis=1)
    outside = np.maximum(low - found.position, found.position - high).max()
    # the mean place of samples that see one convex face lies in the face; a whole pixel's middle may not
    assert outside < 2e-3
    local = (found.position - view.eye) @ view.world_from_camera[:3, :3]
    focal = view.focal_px(200)
    u, v = 160 - focal * local[:, 0] / local[:, 2], 100 + focal * local[:, 1] / local[:, 2]
    assert (np.floor(u + 1e-3) - found.pixel % 320 <= 0.001).all()
    assert (np.abs(u - found.pixel % 320 - 0.5) <= 0.501).all()
    assert (np.abs(v - found.pixel // 320 - 0.5) <= 0.501).all()
    normals = found.normals(np.arange(len(found)))
    assert ((normals * (found.position - found.eye)).sum(axis=1) < 0).all()
    np.testing.assert_array_equal(found.surface, scene.faces.surfaces[found.face])
    np.testing.assert_array_equal(found.part, scene.part_of[found.face])


def test_weights_fill_every_pixel_and_filtering_keeps_a_constant():
    scene = build([demo()], Box())
    found = raster(scene, camera("seated", scene, 1.6), 160, 100)
    assert (np.diff(found.pixel) >= 0).all()
    np.testing.assert_allclose(found.filtered(np.ones(len(found), np.float32)), 1, atol=1e-5)
    two = np.column_stack([found.position[:, 0], np.ones(len(found), np.float32)])
    assert found.filtered(two).shape == (100, 160, 2)


def test_extent_is_the_part_of_the_pixel_that_a_face_covers():
    """Head-on a slat's edge cuts pixels upright: covered width is the weight, covered height is whole."""
    scene = build([upright(count=10)], Box(beyond_left_mm=300, beyond_right_mm=300))
    view = camera("front", scene, 1.0)
    found = raster(scene, view, 300, 300, 4)
    y = found.position[:, 1]
    fronts = (found.surface == SURFACE_ID["slat_front"]) & (y > 0.1) & (y < 2.3)
    assert (found.weight[fronts] < 0.9).any()
    np.testing.assert_allclose(found.extent[fronts, 0], found.weight[fronts], atol=1e-5)
    half = fronts & (found.weight > 0.2)  # a sliver holds few of the sixteen rows
    np.testing.assert_allclose(found.extent[half, 1], 1, atol=0.32)


def test_a_footprint_is_the_size_of_a_pixel_at_its_distance():
    scene = build([upright()], Box(beyond_left_mm=1000, beyond_right_mm=1000))
    view = camera("front", scene, 1.6)
    found = raster(scene, view, 160, 100)
    front = found.surface == SURFACE_ID["slat_front"]
    away = view.eye[2] - 0.029
    near_axis = front & (np.abs(found.position[:, 1] - view.eye[1]) < 0.1)
    np.testing.assert_allclose(found.footprint[near_axis], away / view.focal_px(100), rtol=0.02)


def test_bands_are_the_same_view_in_pieces(monkeypatch):
    scene = build([demo()], Box())
    view = camera("close", scene, 1.6)
    whole = raster(scene, view, 160, 100, 4)
    monkeypatch.setattr("meshes.stills.raster._IDS_AT_ONCE", 16 * 160 * 17)
    pieces = list(bands(scene, view, 160, 100, 4))
    assert [piece.height for piece in pieces] == [17, 17, 17, 17, 17, 15]
    joined = raster(scene, view, 160, 100, 4)
    np.testing.assert_array_equal(joined.pixel, whole.pixel)
    np.testing.assert_array_equal(joined.face, whole.face)
    np.testing.assert_allclose(joined.position, whole.position, atol=1e-6)


def test_no_two_samples_of_a_pixel_share_a_column_or_a_row():
    for side in range(1, 9):
        offsets = np.array(sample_offsets(side))
        lattice = (np.arange(side * side) + 0.5) / side**2
        np.testing.assert_allclose(np.sort(offsets[:, 0]), lattice)
        np.testing.assert_allclose(np.sort(offsets[:, 1]), lattice)


def test_more_samples_where_slats_are_fine():
    scene = build([demo()], Box())
    view = camera("front", scene, 1.6)
    assert samples_a_side(scene, view, 1000) == 4
    assert samples_a_side(scene, view, 250) == 6
    assert samples_a_side(scene, view, 60) == 8


def test_one_view_is_one_raster():
    scene = build([demo()], Box())
    before = gl.rasters_drawn()
    raster(scene, camera("front", scene, 1.6), 320, 200)
    assert gl.rasters_drawn() == before + 1


def test_a_lost_context_is_replaced():
    scene = build([demo()], Box())
    view = camera("front", scene, 1.6)
    before = raster(scene, view, 64, 40)
    gl._lane.executor().submit(gl._lane.canvas.context._platform.delete_context).result()
    after = raster(scene, view, 64, 40)
    np.testing.assert_array_equal(after.face, before.face)


def test_missing_system_libraries_are_named(monkeypatch):
    def refused():
        raise ImportError("Unable to load EGL library")

    monkeypatch.setattr(gl, "_import_pyrender", refused)
    with pytest.raises(gl.GraphicsError, match="libegl1 and libgl1"):
        gl._loaded()


def _face_count(_):
    scene = build([upright()], Box())
    return len(np.unique(raster(scene, camera("front", scene, 1.6), 64, 40).face)), os.getpid()


def test_spawned_workers_draw_and_forked_ones_are_refused():
    here, own = _face_count(None)
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        there, other = pool.apply(_face_count, (None,))
    assert (here, own != other) == (there, True)
    child = os.fork()
    if child == 0:
        try:
            _face_count(None)
        except gl.GraphicsError as error:
            os._exit(0 if "spawn" in str(error) else 1)
        os._exit(2)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0


def test_many_threads_share_the_one_drawing_thread():
    from concurrent.futures import ThreadPoolExecutor

    with ThreadPoolExecutor(4) as pool:
        counts = {count for count, _ in pool.map(_face_count, range(8))}
    assert len(counts) == 1


def test_a_full_size_view_takes_a_couple_of_seconds():
    scene = build([demo()], Box())
    view = camera("front", scene, 16 / 9)
    raster(scene, view, 64, 36)
    start = time.process_time()
    found = raster(scene, view, 1600, 900)
    assert time.process_time() - start < 6  # two cores' time, the driver's threads included
    assert len(found) < 2.2 * 1600 * 900
