"""Published signs of oiling and wetting, and how the figure of each kind of timber takes stain."""

from dataclasses import replace

import numpy as np
import pytest
from looks import daylight, look

from finishes.catalogue import Catalogue
from finishes.spectra import Floats


def chroma_hue(values: Floats) -> tuple[float, float]:
    return float(np.hypot(values[1], values[2])), float(np.degrees(np.arctan2(values[2], values[1])))


@pytest.mark.parametrize("yellow", [0.0, 1.0])
def test_oil_on_pine_darkens_and_turns_redder_yellower_and_purer(catalogue: Catalogue, yellow: float) -> None:
    # linseed varnish on untreated Scots pine (abstract, 2025): L*-, a*+, b*+, C*+, h+; the first four follow
    # from wetting alone
    oil = catalogue.topcoat["oil"]
    changed = replace(oil, yellow=replace(oil.yellow, value=yellow))
    oiled = replace(catalogue, topcoat={**catalogue.topcoat, "oil": changed})
    before = daylight(look(oiled, timber="Scots pine", coats=0, topcoat="none").seen())
    after = daylight(look(oiled, timber="Scots pine", coats=0, topcoat="oil").seen())
    assert after[0] < before[0]
    assert after[1] > before[1]
    assert after[2] > before[2]
    assert chroma_hue(after)[0] > chroma_hue(before)[0]


def test_the_oils_yellow_is_set_so_that_the_hue_angle_rises(catalogue: Catalogue) -> None:
    # the fifth published sign fixes the height of the oil's yellow, so here it checks nothing but that choice
    before = daylight(look(catalogue, timber="Scots pine", coats=0, topcoat="none").seen())
    after = daylight(look(catalogue, timber="Scots pine", coats=0, topcoat="oil").seen())
    assert chroma_hue(after)[1] > chroma_hue(before)[1]
    height = catalogue.optics["oil yellow height"].number
    assert (height.tag, "keeps the published rise of hue angle" in height.source) == ("judgement", True)


def test_wetting_darkens_dark_hardwoods_most(catalogue: Catalogue) -> None:
    # Meints et al., Eur. J. Wood Prod. (2017), abstract: darker hardwoods change most when wetted
    drop = {
        timber: daylight(look(catalogue, timber=timber, coats=0, topcoat="none").seen())[0]
        - daylight(look(catalogue, timber=timber, coats=0, topcoat="oil").seen())[0]
        for timber in ("Norway spruce", "Scots pine", "European oak", "Black walnut")
    }
    assert (
        min(drop["European oak"], drop["Black walnut"]) > max(drop["Norway spruce"], drop["Scots pine"]) > 0
    )


def test_gloss_is_deeper_than_matt_seen_in_even_light(catalogue: Catalogue) -> None:
    lightness = [
        daylight(look(catalogue, timber="European oak", stain="walnut", topcoat=top).seen())[0]
        for top in ("matt", "satin", "gloss")
    ]
    assert lightness[0] > lightness[1] > lightness[2]


# ---------------------------------------------------------------- figure


def contrast(catalogue: Catalogue, timber: str, stain: str) -> float:
    early, late = look(catalogue, timber=timber, stain=stain, topcoat="oil").zones["slat_front"]
    return float(daylight(early)[0] - daylight(late)[0])


def test_figure_of_softwood_reverses_under_dark_stain(catalogue: Catalogue) -> None:
    assert contrast(catalogue, "Scots pine", "clear") > 5
    assert contrast(catalogue, "Scots pine", "dark walnut") < -5


def test_figure_of_ring_porous_wood_strengthens_under_stain(catalogue: Catalogue) -> None:
    plain, stained = (
        contrast(catalogue, "European ash", "clear"),
        contrast(catalogue, "European ash", "walnut"),
    )
    assert stained < plain < 0


def test_liming_lies_in_the_pores_of_oak(catalogue: Catalogue) -> None:
    assert (
        contrast(catalogue, "European oak", "limed white") > 0 > contrast(catalogue, "European oak", "clear")
    )


def test_the_mean_is_the_area_mean_of_the_zones(catalogue: Catalogue) -> None:
    for timber in catalogue.timber:
        found = look(catalogue, timber=timber, stain="mid oak")
        share = found.late_share
        assert 0.0 <= share <= 1.0
        for surface, (early, late) in found.zones.items():
            assert found.reflectance[surface] == pytest.approx((1 - share) * early + share * late, abs=1e-15)


def test_knots_stay_dark_on_bare_softwood(catalogue: Catalogue) -> None:
    found = look(catalogue, timber="Scots pine", coats=0, topcoat="oil")
    assert found.knot is not None
    assert daylight(found.knot)[0] < daylight(found.zones["slat_front"][1])[0]
    assert look(catalogue, timber="MDF").knot is None
