"""Gloss in a picture: a lamp mirrored in the fronts where the mirror's ray says, and no light made."""

from dataclasses import replace

import numpy as np
import pytest
from light_sites import EVENING, PANEL, finish, wall

from meshes.light.layers import layers
from meshes.light.relight import coefficients, picture
from meshes.light.room import Room, RoomReflectance
from meshes.light.transport import solve_lighting
from meshes.solids.scene import build
from meshes.stills.camera import Camera
from meshes.stills.coating import Coat, fresnel
from meshes.stills.gloss import body_shares, coat_of, gloss
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID

pytestmark = pytest.mark.gl

EYE = (1.0, 1.0, 1.2)
"""Straight below the panel's middle, as far out: the mirror's ray rises to it from the fronts."""
FLAT = np.ones((41, 3)) / 41


def looking(eye, target, field):
    ahead = np.subtract(target, eye) / np.linalg.norm(np.subtract(target, eye))
    right = np.cross(ahead, [0.0, 1.0, 0.0])
    right /= np.linalg.norm(right)
    place = np.eye(4)
    place[:3] = np.stack([right, np.cross(right, ahead), -ahead, eye], axis=1)
    return Camera(world_from_camera=place, vertical_fov_deg=field)


@pytest.fixture(scope="module")
def seen():
    made = wall()
    room = Room(depth_mm=3000, reflectance=RoomReflectance(floor=0, ceiling=0, walls=0))
    samples = raster(build((made,), room), looking(EYE, (1.0, 1.7, 0.0), 50.0), 160, 160)
    return samples, solve_lighting((made,), room, EVENING)


def only_fronts(samples):
    """Pixels in which nothing but fronts is seen, filter and all."""
    return samples.filtered((samples.surface == SURFACE_ID["slat_front"]).astype(np.float32)).ravel() > 0.9999


def shown(samples, transport, coat, reflectance=0.0):
    own = finish(*(reflectance,) * 4)
    if coat is None:
        made = layers(samples, transport)
    else:
        share = body_shares(samples, coat)
        made = layers(samples, transport, sheen=gloss(samples, transport, coat), share=share)
    return picture(made, coefficients(made, transport, own, np.ones((1, 41)), FLAT))[..., 1].ravel()


def test_a_smooth_coat_on_black_wood_mirrors_the_panel_by_fresnel(seen):
    """In a black room all that a black wall shows is the lamp's luminance times Fresnel, or nothing."""
    samples, transport = seen
    seen_luminance = shown(samples, transport, Coat(f0=0.04, alpha=0.002))
    fronts = (samples.surface == SURFACE_ID["slat_front"]) & only_fronts(samples)[samples.pixel]
    place, pixel = samples.position[fronts].astype(float), samples.pixel[fronts]
    way = place - EYE
    way /= np.linalg.norm(way, axis=1, keepdims=True)
    # mirrored in z, up to the panel's plane at y = 2.39
    reach = (2.39 - place[:, 1]) / np.where(way[:, 1] > 0.05, way[:, 1], np.nan)
    x = place[:, 0] + reach * way[:, 0] - 1.0
    z = place[:, 2] - reach * way[:, 2] - 1.2
    inside = (np.abs(x) < 0.25) & (np.abs(z) < 0.25)
    outside = ~((np.abs(x) < 0.36) & (np.abs(z) < 0.36))
    expected = fresnel(-way[:, 2], 0.04) * PANEL.lumens / (np.pi * 0.36)
    assert inside.sum() > 50
    assert outside.sum() > 500
    assert seen_luminance[pixel[inside]] == pytest.approx(expected[inside], rel=0.02)
    assert (seen_luminance[pixel[outside]] < 0.02 * expected[outside]).all()


def test_matt_satin_and_gloss_differ_at_a_glance(seen):
    """The catalogue's own numbers: the rougher, the wider and the fainter the lamp's image."""
    samples, transport = seen
    fronts = np.unique(samples.pixel[samples.surface == SURFACE_ID["slat_front"]])
    kinds = {"matt": (0.55, 0.6), "satin": (0.35, 0.3), "gloss": (0.12, 0.0)}
    images = {word: shown(samples, transport, coat_of(0.04, *kind))[fronts] for word, kind in kinds.items()}
    peaks = [images[word].max() for word in kinds]
    assert peaks[0] * 3 < peaks[1]
    assert peaks[1] * 1.5 < peaks[2]
    wide = [(images[word] > 0.3 * images[word].max()).mean() for word in kinds]
    assert wide[0] > 1.2 * wide[1] > 1.2 * wide[2]


def test_a_coat_darkens_pale_wood_by_what_it_mirrors_and_no_more(seen):
    samples, transport = seen
    bare = shown(samples, transport, None, 0.6)
    coat = Coat(f0=0.04, alpha=0.3)
    share = body_shares(samples, coat)
    assert share.max() <= 1 + 1e-6
    fronts = samples.surface == SURFACE_ID["slat_front"]
    assert 0.5 < share[fronts].min() < share[fronts].max()
    coated = shown(samples, transport, coat, 0.6)
    dark = shown(samples, transport, coat, 0.0)
    whole = only_fronts(samples)
    assert (coated[whole] - dark[whole] <= bare[whole] * 1.001).all()


def test_bare_wood_has_no_gloss():
    assert coat_of(0.0, 1.0, 0.0) is None
    assert coat_of(0.04, 0.5, 1.0) is None


def test_a_wall_round_the_corner_mirrors_as_the_first_does():
    """Two like walls at an inside corner, an eye and a panel on the line between them: mirror images."""
    made = (wall(), wall())
    room = Room(depth_mm=2000)
    panel = PANEL.model_copy(update={"centre_mm": (1000, 2390, 1000)})
    lighting = EVENING.model_copy(update={"lamps": (panel,)})
    scene = build(made, room, ("inside",))
    transport = solve_lighting((made[0], replace(made[1], turns="inside")), room, lighting)
    coat = Coat(f0=0.04, alpha=0.2)
    peaks = []
    for target in ((1.0, 1.4, 0.0), (2.0, 1.4, 1.0)):
        samples = raster(scene, looking((1.0, 1.0, 1.0), target, 40.0), 80, 80)
        sheen = gloss(samples, transport, coat)
        lit = [one for one in sheen if (samples.surface[one.rows] == SURFACE_ID["slat_front"]).any()]
        assert len(lit) == 1
        columns = np.ones(transport.columns)
        peaks.append(float((lit[0].values @ (lit[0].mix @ columns)).max()))
    assert peaks[1] == pytest.approx(peaks[0], rel=0.1)
