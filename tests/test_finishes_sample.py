"""The colour of an off-cut in simulated photographs: how near it comes, how sure it is, what is refused."""

import numpy as np
import pytest
from looks import daylight
from photographs import CARD, CHART, FINISHES, OFF_CUT, jpeg, png, scene, tiff_16

from finishes.appearance import appearance
from finishes.catalogue import Catalogue
from finishes.chart_fit import PATCHES, RefusedError, fit_chart
from finishes.choice import Finish
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.photo import Corners, PhotoError, read_photo
from finishes.sample import Shot, read_shots


@pytest.mark.parametrize("finish", FINISHES, ids=lambda finish: f"{finish.timber}, {finish.stain}")
def test_a_photograph_beside_the_chart_gives_the_off_cuts_colour(
    catalogue: Catalogue, finish: Finish
) -> None:
    truth = appearance(finish, catalogue).seen()
    reading = read_shots([Shot(photo=read_photo(png(scene(truth))), off_cut=OFF_CUT, chart=CHART)], catalogue)
    # simulated studies of this method: p95 2.5, maximum 4.0
    error = float(ciede2000(reading.lab_d65, daylight(truth)))
    assert error < 3.5
    assert error < 2.5 * reading.uncertainty_de
    assert not reading.rough
    assert 1.5 < reading.uncertainty_de < 4.5


def test_a_grey_card_alone_is_rougher_and_says_so(catalogue: Catalogue) -> None:
    truth = appearance(FINISHES[0], catalogue).seen()
    photo = read_photo(jpeg(scene(truth, exposure=0.6)))
    rough = read_shots([Shot(photo=photo, off_cut=OFF_CUT, card=CARD)], catalogue)
    fine = read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=CHART)], catalogue)
    assert rough.rough
    assert rough.uncertainty_de > 5 > fine.uncertainty_de
    assert "grey card (rough)" in rough.words
    assert ciede2000(rough.lab_d65, daylight(truth)) > ciede2000(fine.lab_d65, daylight(truth))


def test_clipped_photographs_are_refused_by_patch(catalogue: Catalogue) -> None:
    photo = read_photo(png(scene(appearance(FINISHES[0], catalogue).seen(), exposure=1.6)))
    with pytest.raises(RefusedError) as refused:
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=CHART)], catalogue)
    assert refused.value.reasons[0].startswith("Clipped in ")
    assert "white" in refused.value.reasons[0]


def test_a_clipped_off_cut_is_refused(catalogue: Catalogue) -> None:
    photo = read_photo(png(scene(np.full(41, 1.4))))
    with pytest.raises(RefusedError, match="Clipped in the off-cut"):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=CHART)], catalogue)


@pytest.mark.parametrize(
    "corners",
    [
        (CHART[2], CHART[3], CHART[0], CHART[1]),
        (CHART[1], CHART[0], CHART[3], CHART[2]),
        tuple((x + 30.0, y + 17.0) for x, y in CHART),
        OFF_CUT,
    ],
    ids=["upside down", "mirrored", "shifted", "elsewhere"],
)
def test_a_chart_that_is_not_where_it_was_said_is_refused(catalogue: Catalogue, corners: Corners) -> None:
    photo = read_photo(png(scene(appearance(FINISHES[0], catalogue).seen())))
    with pytest.raises(
        RefusedError, match=r"The chart is not where it was said|The chart's colours fit only"
    ):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, chart=corners)], catalogue)


def test_colours_that_do_not_fit_the_chart_are_refused(catalogue: Catalogue) -> None:
    picture = scene(appearance(FINISHES[0], catalogue).seen())
    # a filter that folds hues on each other but leaves greys alone: no 3 x 3 undoes it
    grey = picture.mean(axis=-1, keepdims=True)
    filtered = np.clip(grey + np.abs(picture - grey) * [1.0, -1.0, 0.2], 0.02, 0.98)
    with pytest.raises(RefusedError, match=r"fit only to a mean difference of \d+\.\d, more than 5"):
        fit_chart(read_photo(png(filtered)), CHART, "after November 2014")


def test_all_reasons_of_all_shots_are_given_at_once(catalogue: Catalogue) -> None:
    off_cut = appearance(FINISHES[0], catalogue).seen()
    bright = read_photo(png(scene(off_cut, exposure=1.6)))
    good = read_photo(png(scene(off_cut)))
    shots = [
        Shot(photo=bright, off_cut=OFF_CUT, chart=CHART),
        Shot(photo=good, off_cut=OFF_CUT, chart=OFF_CUT),
    ]
    with pytest.raises(RefusedError) as refused:
        read_shots(shots, catalogue)
    assert [reason[:13] for reason in refused.value.reasons] == ["Photograph 1:", "Photograph 2:"]


def test_several_shots_that_disagree_are_less_certain(catalogue: Catalogue) -> None:
    finish = FINISHES[0]
    truth = appearance(finish, catalogue).seen()
    shots = [
        Shot(photo=read_photo(png(scene(truth * scale))), off_cut=OFF_CUT, chart=CHART)
        for scale in (0.85, 1.0)
    ]
    apart = read_shots(shots, catalogue).uncertainty_de
    assert apart > read_shots(shots[:1], catalogue).uncertainty_de


@pytest.mark.parametrize(
    ("corners", "message"),
    [
        (((0, 0), (10, 10), (20, 20), (30, 30)), "do not go round an area"),
        (((0, 0), (100, 100), (100, 0), (0, 100)), "do not go round an area"),
        (((0, 0), (9000, 0), (9000, 100), (0, 100)), "lies outside the photograph of 350 × 300 pixels"),
    ],
)
def test_impossible_corners_are_refused(catalogue: Catalogue, corners: Corners, message: str) -> None:
    photo = read_photo(png(scene(np.full(41, 0.3))))
    with pytest.raises(PhotoError, match=message):
        read_shots([Shot(photo=photo, off_cut=corners, chart=CHART)], catalogue)


def test_a_shot_needs_a_chart_or_a_card(catalogue: Catalogue) -> None:
    photo = read_photo(png(scene(np.full(41, 0.3))))
    with pytest.raises(ValueError, match="corners of a chart or of a grey card"):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT)], catalogue)
    with pytest.raises(ValueError, match="at least one photograph"):
        read_shots([], catalogue)
    with pytest.raises(ValueError, match="card_y is 2"):
        read_shots([Shot(photo=photo, off_cut=OFF_CUT, card=CARD, card_y=2.0)], catalogue)


def test_patches_are_named_in_the_charts_order() -> None:
    assert len(PATCHES) == 24
    assert (PATCHES[0], PATCHES[18], PATCHES[23]) == ("dark skin", "white", "black")


def test_the_charts_vintages_are_the_published_ones(catalogue: Catalogue) -> None:
    # Lab D50/2° of two patches, before and after November 2014, as colour-science carries them
    from finishes.chart_fit import D50_XYZ
    from finishes.lamps import chart_xyz

    after = lab(chart_xyz("after November 2014"), D50_XYZ)
    assert after[0] == pytest.approx([37.54, 14.37, 14.92], abs=0.02)
    assert after[23] == pytest.approx([20.64, 0.07, -0.46], abs=0.02)
    before = lab(chart_xyz("before November 2014"), D50_XYZ)
    apart = ciede2000(before, after)
    assert 0.3 < apart.mean() < 1.5


def test_a_dimmed_copy_of_a_shot_changes_nothing_but_noise(catalogue: Catalogue) -> None:
    truth = appearance(FINISHES[3], catalogue).seen()
    labs = [
        read_shots(
            [
                Shot(
                    photo=read_photo(tiff_16(scene(truth, exposure=level, noise=0.0))),
                    off_cut=OFF_CUT,
                    chart=CHART,
                )
            ],
            catalogue,
        ).lab_d65
        for level in (0.3, 0.85)
    ]
    assert ciede2000(labs[0], labs[1]) < 0.05
