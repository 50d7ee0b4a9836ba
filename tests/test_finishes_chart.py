"""The chart of tones, and the band in which a colour is shown."""

import io

import numpy as np
import pytest
from PIL import Image

from finishes.adaptation import EVENING_FEEL
from finishes.appearance import appearance
from finishes.band import band
from finishes.catalogue import Catalogue, load
from finishes.chart import Layout, chart_png, figure_mask
from finishes.choice import Finish
from finishes.cielab import lab
from finishes.lamps import lamp


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load()


def test_mean_of_the_drawn_figure_is_the_catalogues_late_share(catalogue: Catalogue) -> None:
    for figure in catalogue.figure.values():
        mask = figure_mask(264, 52, figure.late_share, figure.name, seed=3)
        assert mask.mean() == pytest.approx(figure.late_share, abs=0.001)
        assert 0.0 <= mask.min() <= mask.max() <= 1.0


def test_chart_shows_each_tone_on_each_timber_in_its_colour(catalogue: Catalogue) -> None:
    timbers, tones = ("Scots pine", "European oak"), ("clear", "walnut")
    size = Layout(scale=1)
    data = chart_png(catalogue, timbers=timbers, tones=tones, coats=(1, 2), topcoat="matt", layout=size)
    image = np.asarray(Image.open(io.BytesIO(data)).convert("RGB"), dtype=float) / 255
    for column, wood in enumerate(timbers):
        for row, tone in enumerate(tones):
            for strip, coats in enumerate((1, 2)):
                left = size.label_wide + column * (size.board_wide + size.gap)
                top = size.head_high + row * (2 * size.strip_high + size.gap) + strip * size.strip_high
                drawn = image[top : top + size.strip_high, left : left + size.board_wide].mean(axis=(0, 1))
                finish = Finish(timber=wood, stain=tone, coats=coats, topcoat="matt")
                shown = band(appearance(finish, catalogue), lamp("D65")).mean_srgb
                # the drawing averages encoded values and strays within one board
                assert drawn == pytest.approx(shown, abs=0.02), (wood, tone, coats)


def test_chart_is_the_same_each_time(catalogue: Catalogue) -> None:
    first, second = (chart_png(catalogue, timbers=("European ash",), tones=("walnut",)) for _ in range(2))
    assert first == second


def test_chart_refuses_nonsense(catalogue: Catalogue) -> None:
    with pytest.raises(ValueError, match=r"coats are \[\]; give one or more numbers"):
        chart_png(catalogue, coats=())
    with pytest.raises(KeyError):
        chart_png(catalogue, tones=("no such tone",))


def test_a_band_holds_both_zones_and_the_spread_of_one_board(catalogue: Catalogue) -> None:
    look = appearance(Finish(timber="Scots pine", stain="walnut", topcoat="oil"), catalogue)
    found = band(look, lamp("D65"))
    assert found.zones_srgb.shape == (2, 3, 3)
    assert found.zones_lab[:, 2, 0] - found.zones_lab[:, 0, 0] == pytest.approx(2 * look.spread_de)
    assert found.late_share == look.late_share
    assert found.words == f"Indicative, give or take {look.uncertainty_under(lamp('D65')):.0f}"
    light = lamp("D65")
    assert found.mean_lab == pytest.approx(lab(look.seen() @ light.weights, light.white_xyz), abs=0.02)
    assert found.knot_srgb is not None


def test_a_band_in_the_evening_feel_is_warmer_than_at_full_adaptation(catalogue: Catalogue) -> None:
    look = appearance(Finish(timber="European ash", stain="limed white"), catalogue)
    full, evening = (band(look, lamp("LED-B1"), degree=degree).mean_lab for degree in (1.0, EVENING_FEEL))
    assert evening[2] > full[2] + 3
    assert evening[1] > full[1] + 2
