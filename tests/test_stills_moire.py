"""The finished picture, light and figure and all, does not beat with the pixels."""

import numpy as np
import pytest
from hand_built import upright

from meshes.light.lamps import Lamp, Lighting
from meshes.light.layers import layers
from meshes.light.relight import coefficients, picture
from meshes.light.room import Room
from meshes.light.transport import solve_lighting
from meshes.scene_grain import figure_mask
from meshes.solids.scene import build
from meshes.stems import Figure
from meshes.stills.camera import Camera
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID, SURFACES

pytestmark = pytest.mark.gl

LIGHT = Lighting(
    name="evening",
    lamps=(Lamp(name="p", centre_mm=(1000, 2490, 900), size_mm=(600, 600), faces="down", lumens=3000),),
)
PALE_OVER_BLACK = np.full((len(SURFACES), 41), 0.6)
PALE_OVER_BLACK[SURFACE_ID["fabric"]] = 0.03
ZONES = {word: (np.full(41, 0.7), np.full(41, 0.25)) for word in ("slat_front", "slat_side", "slat_end")}


def encoded(luminance):
    """sRGB (IEC 61966-2-1) in 8-bit steps, unrounded; the brightest slat shows 0.8."""
    linear = np.clip(luminance, 0, 1)
    return 255 * np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


@pytest.mark.parametrize("cut", ["flat", "quarter"])
def test_row_means_over_eight_pitches_agree_with_256_samples_a_pixel(cut):
    """Three pixels a pitch, head-on: against sixteen by sixteen samples a pixel, 2 of 255."""
    set_out, room = upright(count=48), Room(depth_mm=6000)
    scene = build([set_out], room)
    transport = solve_lighting([set_out], room, LIGHT)
    eye = np.eye(4)
    eye[:3, 3] = [24 * 0.054, 1.3, 4.0]
    width, height = 120, 40
    focal = 3 * (4.0 - 0.029) / 0.054
    view = Camera(world_from_camera=eye, vertical_fov_deg=float(np.degrees(2 * np.arctan(20 / focal))))
    figure = Figure(kind="softwood, strong late wood", cut=cut)

    def luminance(scale, side):
        samples = raster(scene, view, scale * width, scale * height, side)
        seen = layers(samples, transport, *figure_mask(scene, samples, figure))
        weights = coefficients(
            seen, transport, PALE_OVER_BLACK, np.ones((1, 41)), np.ones((41, 3)) / 41, zones=ZONES
        )
        return picture(seen, weights)[..., 1]

    ours = luminance(1, None)
    truth = luminance(8, 2).reshape(height, 8, width, 8).mean(axis=(1, 3))
    white = truth.max() / 0.8
    # light is what a screen's pixels add up in the eye, so its means are compared, on the scale of the codes
    for start in range(3, width - 27, 3):
        means = [shown[:, start : start + 24].mean(axis=1) for shown in (ours, truth)]
        assert np.abs(encoded(means[0] / white) - encoded(means[1] / white)).max() <= 2
    assert np.ptp(encoded(truth / white)) > 60  # there is a pattern that could beat
