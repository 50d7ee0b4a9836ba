"""Litres and tins: published rates, exact sums, laws."""

import itertools
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from finishes.catalogue import Catalogue, load
from finishes.choice import Finish, Recipe
from finishes.coverage import take_off
from finishes.tins import Tins, least_cost

AREAS = {"slat_front": 24.0, "slat_side": 16.0}


def test_spread_rates_are_the_wood_handbooks(catalogue: Catalogue) -> None:
    # FPL-GTR-190 ch. 16: 200-400 ft2/gal smooth, 100-200 saw-textured; 1 ft2/gal = 0.0245424 m2/l
    planed, sawn = catalogue.rate("planed spread rate"), catalogue.rate("sawn spread rate")
    assert (planed.low, planed.high) == pytest.approx((200 * 0.0245424, 400 * 0.0245424), abs=0.05)
    assert (sawn.low, sawn.high) == pytest.approx((100 * 0.0245424, 200 * 0.0245424), abs=0.06)


def test_one_coat_on_planed_and_sawn_faces(catalogue: Catalogue) -> None:
    # 24 m2 at 7.35 and 16 m2 at 3.65 m2/l with 12.5 % loss; the same sum with 10 % is 8.50 l
    found = take_off(AREAS, Finish(coats=1), catalogue)
    assert found.litres.likely == pytest.approx((24 / 7.35 + 16 / 3.65) / 0.875)
    assert found.litres.likely * 0.875 / 0.9 == pytest.approx(8.50, abs=0.005)
    assert found.litres.low < found.litres.likely < found.litres.high


def test_a_second_coat_takes_half_to_six_tenths_of_the_first(catalogue: Catalogue) -> None:
    one, two = (take_off(AREAS, Finish(coats=n), catalogue).litres for n in (1, 2))
    assert two.low / one.low == pytest.approx(1.5)
    assert two.high / one.high == pytest.approx(1.6)


def test_litres_never_fall_when_a_coat_is_added(catalogue: Catalogue) -> None:
    for tone, between in itertools.product(catalogue.stain, ("wet on wet", "dried")):
        litres = [
            take_off(AREAS, Finish(stain=tone, coats=n, between_coats=between), catalogue).litres.likely
            for n in range(7)
        ]
        assert all(first < second for first, second in itertools.pairwise(litres)), tone


def test_sourced_rates_of_an_entry_replace_the_general_ones(tmp_path: Path) -> None:
    own = tmp_path / "own.toml"
    rate = 'source = "drawdown of 3 March", tag = "measured"'
    own.write_text(
        f"""[[stain]]
name = "walnut"
loads = {{ umber = 1 }}
source = "own drawdown"
tag = "measured"
drying = {{ recoat_h = 12, handle_h = 24, touch_fabric_h = 48, {rate} }}
planed_m2_per_l = {{ low = 10, likely = 10, high = 10, {rate} }}
sawn_m2_per_l = {{ low = 5, likely = 5, high = 5, {rate} }}
further_coat_share = {{ low = 0.3, likely = 0.3, high = 0.3, {rate} }}
"""
    )
    found = take_off(AREAS, Finish(stain="walnut", coats=2), load([own.parent]))
    assert found.litres.likely == pytest.approx((24 / 10 + 16 / 5) * 1.3 / 0.875)


def test_backs_get_one_thin_coat_when_slats_are_thin(catalogue: Catalogue) -> None:
    areas = {**AREAS, "slat_back": 24.0}

    def backs(finish: Finish, depth_mm: float) -> list[tuple[int, float]]:
        stain = take_off(areas, finish, catalogue, slat_depth_mm=depth_mm).stain
        assert stain is not None
        return [(line.coat, line.share) for line in stain.lines if line.surface == "slat_back"]

    assert backs(Finish(coats=3), 16) == [(1, 0.5)]
    assert backs(Finish(coats=3), 18) == []
    assert backs(Finish(coats=1, backs="coated"), 40) == [(1, 0.5)]
    assert backs(Finish(coats=1, backs="bare"), 10) == []


def test_samples_and_the_touch_up_pot_are_bought_too(catalogue: Catalogue) -> None:
    stain = take_off(AREAS, Finish(coats=1), catalogue).stain
    assert stain is not None
    assert stain.touch_up_l == 0.25
    assert stain.samples_l.likely == pytest.approx(3 * 0.06 / 7.35 / 0.875)
    assert stain.to_buy_l.likely == pytest.approx(stain.litres.likely + stain.samples_l.likely + 0.25)
    (part,) = stain.parts
    assert part.tins.volume_ml >= stain.to_buy_l.likely * 1000
    assert "one batch" in stain.advice


def test_an_own_tone_buys_its_two_tones_by_their_parts(catalogue: Catalogue) -> None:
    finish = Finish(own_tone=Recipe(first="walnut", second="honey", second_parts=3))
    found = take_off(AREAS, finish, catalogue)
    assert found.stain is not None
    walnut, honey = found.tins
    assert (walnut.name, honey.name) == ("walnut", "honey")
    assert walnut.litres.likely * 3 == pytest.approx(honey.litres.likely)
    assert walnut.litres.likely + honey.litres.likely == pytest.approx(found.stain.to_buy_l.likely)


def test_topcoat_and_painted_backing_have_their_own_litres(catalogue: Catalogue) -> None:
    found = take_off({**AREAS, "fabric": 9.0}, Finish(topcoat="oil", fabric="black paint"), catalogue)
    assert found.topcoat is not None
    assert found.topcoat.coats == 2
    assert found.backing_paint is not None
    assert found.backing_paint.litres.likely == pytest.approx(2 * 9 / 12 / 0.875)
    plain = take_off({**AREAS, "fabric": 9.0}, Finish(topcoat="none", coats=0), catalogue)
    assert (plain.stain, plain.topcoat, plain.backing_paint) == (None, None, None)


def test_a_topcoat_takes_more_on_sawn_faces(catalogue: Catalogue) -> None:
    # common practice: 10 m2/l planed, 7 sawn; two coats of matt over planed fronts and sawn sides
    found = take_off(AREAS, Finish(topcoat="matt"), catalogue).topcoat
    assert found is not None
    assert found.litres.likely == pytest.approx(2 * (24 / 10 + 16 / 7) / 0.875)


def test_a_negative_area_is_refused(catalogue: Catalogue) -> None:
    with pytest.raises(ValueError, match=r"areas_m2\['slat_side'\] is -1; an area must be 0 or more"):
        take_off({"slat_side": -1.0}, Finish(), catalogue)


# ---------------------------------------------------------------- tins


def brute_force(wanted: int, prices: dict[int, Decimal]) -> Decimal:
    best = None
    for counts in itertools.product(*(range(wanted // size + 2) for size in prices)):
        if sum(n * size for n, size in zip(counts, prices, strict=True)) >= wanted:
            cost = sum((n * prices[size] for n, size in zip(counts, prices, strict=True)), Decimal(0))
            best = cost if best is None else min(best, cost)
    assert best is not None
    return best


@given(
    wanted=st.integers(0, 3000),
    prices=st.dictionaries(
        st.sampled_from([250, 375, 750, 1000]), st.integers(1, 60).map(Decimal), min_size=1
    ),
)
def test_tins_cost_the_least_that_any_set_costs(wanted: int, prices: dict[int, Decimal]) -> None:
    found = least_cost(wanted, dict(prices))
    assert found.volume_ml >= wanted
    assert found.cost == brute_force(wanted, prices)
    assert found.volume_ml == sum(size * count for size, count in found.counts)


def test_tins_without_prices_leave_the_least_over() -> None:
    found = least_cost(3400, dict.fromkeys((250, 750, 1000, 2500, 5000)))
    assert found.words == "1 × 2.5 l + 1 × 1 l"
    assert found.cost is None
    assert least_cost(0, {250: None}).words == "none"
    drawn = Tins(counts=(), volume_ml=3200, wanted_ml=3200, cost=Decimal(64))
    assert drawn.words == "3.2 l by measure"


@pytest.mark.parametrize(
    ("wanted", "sizes", "message"),
    [
        (-1, {250: None}, "wanted_ml is -1"),
        (float("nan"), {250: None}, "wanted_ml is nan"),
        (10, {}, "at least one tin size"),
        (10, {0: None}, "at least one tin size"),
        (10, {250: Decimal(-1)}, "a price is below 0"),
    ],
)
def test_tins_refuse_nonsense(wanted: float, sizes: dict[int, Decimal | None], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        least_cost(wanted, sizes)
