"""Coated walls against the path tracer's rough plastic, traced as the test runs; needs mitsuba.

Facets of ours and of the tracer have one distribution (GGX); all else differs: ours mirrors lamps by a
closed form and the room by a table, the tracer by chance.
"""

import numpy as np
import pytest
from reference.blocks import block_means
from reference.scenes import CASES
from reference.traced import traced

from finishes.lamps import observer
from meshes.light.layers import layers
from meshes.light.relight import coefficients, picture
from meshes.light.transport import solve_lighting
from meshes.stills.coating import Coat
from meshes.stills.gloss import body_shares, gloss
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID

pytestmark = [pytest.mark.gl, pytest.mark.reference]

WIDTH, HEIGHT = 160, 90
COAT = Coat(f0=0.04, alpha=0.3)
WOOD = [SURFACE_ID[word] for word in ("slat_front", "slat_side", "trim")]


def luminances(name, reflectance, coat):
    """Ours and theirs: block means of those blocks that show slats and gaps alone."""
    case = CASES[name]()
    scene = case.scene
    seen_from = case.camera(scene)
    samples = raster(scene, seen_from, WIDTH, HEIGHT)
    transport = solve_lighting(case.set_outs, case.room, case.lighting)
    share = body_shares(samples, coat)
    seen = layers(samples, transport, sheen=gloss(samples, transport, coat), share=share)
    given = reflectance(case.reflectance)
    ours = picture(seen, coefficients(seen, transport, given, case.spd, observer()))
    theirs = traced(case, 128, width=WIDTH, height=HEIGHT, reflectance=given, coat=coat)
    run = samples.filtered(np.isin(samples.surface, [*WOOD, SURFACE_ID["fabric"]]).astype(np.float32))
    chosen = block_means(run[..., None])[..., 0] > 0.98
    return block_means(ours)[chosen, 1], block_means(theirs)[chosen, 1]


def black_wood(reflectance):
    found = reflectance.copy()
    found[WOOD] = 0
    return found


@pytest.mark.parametrize("name", ["panel, oak on black, front", "window and panel, pale on grey, right"])
def test_coated_wood_is_as_bright_as_the_tracers(name):
    pytest.importorskip("mitsuba")
    ours, theirs = luminances(name, lambda given: given, COAT)
    assert ours.mean() == pytest.approx(theirs.mean(), rel=0.02)
    assert np.sqrt(((ours - theirs) ** 2).mean()) < 0.05 * theirs.mean()


@pytest.mark.parametrize("name", ["panel, oak on black, front", "window and panel, pale on grey, right"])
def test_black_wood_shows_what_the_coat_mirrors(name):
    """Ours is up to 5 % dimmer: sides mirror the lamps only, and what is mirrored twice is left out."""
    pytest.importorskip("mitsuba")
    ours, theirs = luminances(name, black_wood, COAT)
    assert 0.94 < ours.mean() / theirs.mean() < 1.01
    assert np.sqrt(((ours - theirs) ** 2).mean()) < 0.08 * theirs.mean()
