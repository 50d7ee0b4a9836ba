"""The filter from samples to pixels: nothing is lost, and narrow gaps come out alike."""

import numpy as np
import pytest
from hand_built import Box, upright

from meshes.solids.scene import build
from meshes.stills.camera import Camera
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID

pytestmark = pytest.mark.gl

GAP_PX, WIDTH = 1.2, 240


def rows_of(gap_px, wide=True):
    """Slats of 40 mm with 14 mm gaps seen head-on: luminance (height, width) of 0.6 before 0.03."""
    scene = build([upright(count=60)], Box())
    focal = gap_px / 0.014 * (3.0 - 0.029)
    eye = np.eye(4)
    eye[:3, 3] = [1.6, 1.2, 3.0]
    field = float(np.degrees(2 * np.arctan(8 / focal)))
    view = raster(scene, Camera(world_from_camera=eye, vertical_fov_deg=field), WIDTH, 16)
    if not wide:
        view = type(view)(
            **{name: getattr(view, name) for name in view.__dataclass_fields__} | {"reach": None}
        )
    shown = np.where(view.surface == SURFACE_ID["slat_front"], 0.6, 0.03).astype(np.float32)
    return view, view.filtered(shown)


def minima(row):
    inner = row[1:-1]
    return inner[(inner < 0.45) & (inner < row[:-2]) & (inner <= row[2:])]


def test_neighbouring_gaps_of_a_pixel_and_a_bit_are_alike():
    """Their darkest pixels stray by less than a fifth of their mean; through a box, by over two fifths."""
    darkest = [minima(rows_of(GAP_PX, wide)[1][8]) for wide in (True, False)]
    assert all(len(found) > 40 for found in darkest)
    stray = [found.std() / found.mean() for found in darkest]
    assert stray[0] < 0.2
    assert stray[1] > 0.4


def test_the_wide_filter_keeps_all_light_and_white_white():
    view, wide = rows_of(GAP_PX)
    _, plain = rows_of(GAP_PX, wide=False)
    assert view.reach is not None
    pitch = 54 / 14 * GAP_PX
    window = round(8 * pitch)
    means = [np.convolve(shown[8], np.full(window, 1 / window), "valid")[4:-4] for shown in (wide, plain)]
    # a window cut through a gap moves by a fraction of one pixel of it
    assert np.abs(means[0] - means[1]).max() < 0.2 / window
    assert view.filtered(np.ones(len(view), np.float32)) == pytest.approx(1, abs=1e-5)


def test_wide_gaps_keep_the_sharp_filter():
    view, _ = rows_of(5.0)
    assert view.reach is None
