"""Figure: one stem a slat, the promised mean, no repeats, no beating with the pixels."""

import numpy as np
import pytest
from hand_built import Box, demo, upright

from meshes import grain
from meshes.grain import late_wood
from meshes.scene_grain import figure_mask, scene_stems
from meshes.solids.scene import build
from meshes.stems import GROWTH, KNOTS, Figure, stems
from meshes.stills.camera import camera
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID


def faces(count, width, depth, length, each=4000, seed=5):
    """Points spread over the fronts and sides of ``count`` slats: slat, place [mm]."""
    rng = np.random.default_rng(seed)
    slat = np.repeat(np.arange(count, dtype=np.int32), each)
    place = rng.random((len(slat), 3)) * [width, depth, length] - [width / 2, 0, 0]
    on_side = rng.random(len(slat)) < 2 * depth / (width + 2 * depth)
    place[:, 1] = np.where(on_side, place[:, 1], depth)
    place[:, 0] = np.where(on_side, np.where(rng.random(len(slat)) < 0.5, -width / 2, width / 2), place[:, 0])
    return slat, place.astype(np.float32)


@pytest.mark.parametrize("kind", list(GROWTH))
@pytest.mark.parametrize("cut", ["flat", "quarter"])
@pytest.mark.parametrize(
    ("share", "knots", "seed"), [(0.3, "clear", 1), (0.6, "all knots", 2), (0.15, "clear", 3)]
)
def test_the_mean_of_the_mask_is_the_late_share(kind, cut, share, knots, seed):
    figure = Figure(kind=kind, cut=cut, late_share=share, knots=knots, seed=seed)
    slat, place = faces(75, 40, 16, 2400)
    mask = late_wood(stems(75, 40, 16, figure), slat, place)
    assert mask.min() >= 0
    assert mask.max() <= 1
    assert mask.mean() == pytest.approx(share, abs=0.02)


def test_front_side_and_end_are_one_piece_of_wood():
    """Across an arris the figure goes on: points a hair apart on two faces see the same wood."""
    made = stems(20, 40, 16, Figure(knots="all knots"))
    slat = np.repeat(np.arange(20, dtype=np.int32), 200)
    along = np.tile(np.linspace(0, 2400, 200), 20)
    front = np.column_stack([np.full(4000, 19.99), np.full(4000, 16.0), along]).astype(np.float32)
    side = np.column_stack([np.full(4000, 20.0), np.full(4000, 15.99), along]).astype(np.float32)
    assert np.abs(late_wood(made, slat, front) - late_wood(made, slat, side)).mean() < 0.01
    top = np.column_stack([np.linspace(-20, 20, 4000), np.full(4000, 16.0), np.full(4000, 2399.99)])
    end = top + np.array([0, -0.01, 0.01])
    a, b = (late_wood(made, slat, points.astype(np.float32)) for points in (top, end))
    assert np.abs(a - b).mean() < 0.01


def test_no_two_slats_repeat_and_the_same_seed_gives_the_same_wood():
    figure = Figure(kind="ring-porous", late_share=0.6)
    place = np.column_stack([np.zeros(500), np.full(500, 16), np.linspace(0, 2400, 500)]).astype(np.float32)
    made = stems(40, 40, 16, figure)
    rows = np.array([late_wood(made, np.full(500, k, np.int32), place) for k in range(40)])
    alike = np.corrcoef(rows) - np.eye(40)
    assert np.abs(alike).max() < 0.9
    again = late_wood(stems(40, 40, 16, figure), np.full(500, 7, np.int32), place)
    np.testing.assert_array_equal(again, rows[7])
    other = stems(40, 40, 16, Figure(kind="ring-porous", late_share=0.6, seed=2))
    assert np.abs(late_wood(other, np.full(500, 7, np.int32), place) - rows[7]).mean() > 0.1


def test_flat_sawn_shows_few_rings_on_the_front_and_quarter_sawn_many():
    """Changes between early and late across the front, halfway up: the two cuts differ as on a bench."""

    def changes(cut):
        made = stems(60, 40, 16, Figure(kind="softwood, strong late wood", cut=cut, seed=4))
        slat = np.repeat(np.arange(60, dtype=np.int32), 400)
        across = np.tile(np.linspace(-20, 20, 400), 60)
        place = np.column_stack([across, np.full(24000, 16.0), np.full(24000, 1200.0)]).astype(np.float32)
        late = late_wood(made, slat, place).reshape(60, 400) > 0.5
        return np.abs(np.diff(late.astype(int), axis=1)).sum(axis=1).mean()

    assert changes("quarter") > 1.5 * changes("flat") > 0


def test_a_ring_ends_abruptly_and_begins_gently():
    """Late wood stops at the ring's edge; from early to late it grows: the profile is not symmetric."""
    made = stems(1, 40, 16, Figure(kind="softwood", late_share=0.3, cut="quarter", seed=9))
    across = np.linspace(-20, 20, 20001)
    place = np.column_stack([across, np.full(20001, 16.0), np.full(20001, 500.0)]).astype(np.float32)
    steps = np.diff(late_wood(made, np.zeros(20001, np.int32), place))
    steep, gentle = np.sort(np.abs([steps.min(), steps.max()]))[::-1]
    assert steep > 5 * gentle


@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        ("ring-porous", 0.03, 0.1),
        ("diffuse-porous", 0.005, 0.03),
        ("softwood, strong late wood", 0.0, 0.005),
    ],
)
def test_the_edges_of_rings_are_ragged_where_vessels_are_coarse(kind, least, most, monkeypatch):
    """Oak and ash are porous in short lines along the grain; the rings of pine run on smoothly."""
    made = stems(75, 40, 16, Figure(kind=kind, late_share=0.4))
    slat, place = faces(75, 40, 16, 2400, each=400)
    drawn = late_wood(made, slat, place)
    monkeypatch.setattr(grain, "RAGGED", 0.0)
    assert least < np.abs(drawn - late_wood(made, slat, place)).mean() < most


def test_years_are_marked_unequally():
    made = stems(1, 400, 16, Figure(kind="softwood, strong late wood", late_share=0.4, cut="quarter"))
    across = np.linspace(-200, 200, 40001)
    place = np.column_stack([across, np.full(40001, 16.0), np.full(40001, 500.0)]).astype(np.float32)
    late = late_wood(made, np.zeros(40001, np.int32), place)
    years = np.split(late, np.flatnonzero((late[:-1] < 0.5) & (late[1:] >= 0.5)))
    darkest = np.array([np.percentile(year, 90) for year in years[1:-1]])
    assert len(darkest) > 50
    assert np.ptp(np.percentile(darkest, [10, 90])) > 0.1


@pytest.mark.parametrize("knots", ["small sound knots", "all knots"])
def test_knots_come_by_their_class(knots):
    slat, place = faces(75, 40, 16, 2400)
    with_knots = late_wood(stems(75, 40, 16, Figure(knots=knots)), slat, place)
    clear = late_wood(stems(75, 40, 16, Figure()), slat, place)
    changed = np.abs(with_knots - clear) > 0.2
    assert 0.0003 < changed.mean() < 0.05
    assert len(np.unique(slat[changed])) > 75 * KNOTS[knots][0]


def test_a_pixel_shows_the_mean_of_what_it_covers():
    made = stems(30, 40, 16, Figure(kind="softwood, strong late wood"))
    rng = np.random.default_rng(3)
    slat = rng.integers(0, 30, 3000).astype(np.int32)
    place = np.column_stack([rng.uniform(-18, 18, 3000), np.full(3000, 16.0), rng.uniform(10, 2390, 3000)])
    for pixel in (0.3, 1.0, 3.0):
        spread = np.broadcast_to(np.float32([[pixel, 0, 0], [0, 0, pixel]]), (3000, 2, 3))
        ours = late_wood(made, slat, place.astype(np.float32), spread)
        inside = rng.random((64, 3000, 2)) - 0.5
        points = place + pixel * np.stack([inside[..., 0], np.zeros((64, 3000)), inside[..., 1]], axis=-1)
        many = late_wood(made, np.tile(slat, 64), points.reshape(-1, 3).astype(np.float32))
        truth = many.reshape(64, 3000).mean(axis=0)
        # curved rings inside one large pixel are the only difference: small on the mean, none in the average
        assert np.abs(ours - truth).mean() < 0.05
        assert ours.mean() == pytest.approx(truth.mean(), abs=0.01)


def test_far_away_the_figure_fades_to_the_mean():
    made = stems(75, 40, 16, Figure(cut="quarter"))
    slat, place = faces(75, 40, 16, 2400, each=200)
    spread = np.broadcast_to(np.float32([[40, 40, 0], [0, 0, 40]]), (len(slat), 2, 3))
    mask = late_wood(made, slat, place, spread)
    assert np.abs(mask - 0.3).max() < 0.12
    assert mask.std() < 0.05


@pytest.mark.gl
@pytest.mark.parametrize("view", ["front", "left"])
def test_no_moire_from_the_rings(view):
    """Pixels of one size against the same view sixteen times finer, averaged: rings do not beat."""
    scene = build([upright(count=40)], Box(beyond_left_mm=100, beyond_right_mm=100))
    figure = Figure(kind="softwood, strong late wood", cut="quarter")
    seen = camera(view, scene, 1.5)
    coarse = raster(scene, seen, 168, 112)
    fine = raster(scene, seen, 168 * 8, 112 * 8, 2)
    ours = coarse.filtered(figure_mask(scene, coarse, figure)[0])
    truth = fine.filtered(figure_mask(scene, fine, figure)[0]).reshape(112, 8, 168, 8).mean(axis=(1, 3))
    # windows of at least eight pitches, which are two to seven pixels wide here
    windows = [picture.reshape(112, 3, 56).mean(axis=2) for picture in (ours, truth)]
    # the darkest stain turns late against early wood by less than half of white
    assert np.abs(windows[0] - windows[1]).max() * 255 * 0.5 <= 2


@pytest.mark.gl
def test_only_slats_have_figure_and_both_cuts_ends_of_a_slat_continue_it():
    scene = build([demo(20)], Box())
    view = raster(scene, camera("close", scene, 1.5), 300, 200)
    mask, _ = figure_mask(scene, view, Figure())
    slat = np.isin(view.surface, [SURFACE_ID[word] for word in ("slat_front", "slat_side", "slat_end")])
    assert (mask[~slat] == 0).all()
    assert mask[slat].std() > 0.1


def test_walls_have_their_own_stems():
    scene = build([upright(count=5), upright(count=5)], Box(), ("inside",))
    numbers = scene_stems(scene, Figure()).numbers
    assert numbers.shape == (10, 16)
    assert np.abs(numbers[:5] - numbers[5:]).max() > 0
