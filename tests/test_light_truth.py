"""Our pictures against a path tracer's: block means of a 320 x 180 truth with 16,384 paths a pixel.

The truth was traced by mitsuba 3.9.1 (spectral) from the same solids, lamps and reflectances; the file
holds a hash of each scene, and ``tests/reference/make_truth.py`` makes it again. White is a white card in
the middle of the wall. Targets: CIEDE2000 over blocks mean <= 1.0, 95 % <= 2.0, 99 % <= 4, signed lightness
within 0.5, luminance within 3 %; of the whole picture, and of the slat run alone.
"""

from pathlib import Path

import numpy as np
import pytest
from reference.blocks import block_means, difference, ours
from reference.scenes import CASES
from reference.traced import traced

from meshes.stills.reference import ReferenceCancelledError

pytestmark = pytest.mark.gl

TRUTH = Path(__file__).parent / "data" / "light-truth.npz"

QUICK = (
    "inside corner, window and panel, oak on grey",
    "outside corner and bare wall beside it, panel round it, oak on grey",
    "panel and strip, oak on red, close",
    "deep and white, panel, close",
    "level, strip, oak on red, front",
    "edges, window and panel, oak on red, raking",
    "gaps on the floor, window and panel, pale on white, near",
    "sofa and desk in an inside corner, oak on black, by its evening",
)
"""Scenes of every run; the others run with the reference."""


def compared(name):
    case = CASES[name]()
    with np.load(TRUTH) as file:
        truth, digest = file[name], str(file[f"{name}|scene"])
    assert case.digest() == digest, f"the truth is of another scene: make_truth.py '{name}' traces it anew"
    found = ours(case)
    run = found.run > 0.98
    whole = difference(found, truth, np.ones_like(run))
    slats = difference(found, truth, run)
    print(f"{name}\n  whole {whole}\n  run   {slats}")
    return whole, slats


@pytest.mark.parametrize("name", QUICK)
def test_pictures_agree_with_a_path_tracer(name):
    whole, slats = compared(name)
    assert whole.within_targets(), whole
    assert slats.within_targets(), slats


@pytest.mark.reference
@pytest.mark.parametrize("name", [name for name in CASES if name not in QUICK])
def test_all_pictures_agree_with_a_path_tracer(name):
    whole, slats = compared(name)
    assert whole.within_targets(), whole
    assert slats.within_targets(), slats


@pytest.mark.reference
def test_a_live_trace_agrees_with_the_committed_truth():
    """A few paths a pixel: the mean over the picture is good to 1 % long before single blocks are."""
    pytest.importorskip("mitsuba")
    name = "panel, oak on black, front"
    case = CASES[name]()
    heard = []
    xyz = traced(case, 8, progress=heard.append)
    with np.load(TRUTH) as file:
        truth = file[name]
    assert heard[-1] == 1.0
    assert block_means(xyz).mean(axis=(0, 1)) == pytest.approx(truth.mean(axis=(0, 1)), rel=0.01)


@pytest.mark.reference
def test_a_trace_can_be_cancelled():
    pytest.importorskip("mitsuba")
    with pytest.raises(ReferenceCancelledError):
        traced(CASES["panel, oak on black, front"](), 64, width=32, height=18, cancelled=lambda: True)
