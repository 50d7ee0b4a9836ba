"""Packs of least cost, against trying everything."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from finishes.catalogue import Catalogue
from finishes.choice import Finish, Recipe
from finishes.coverage import take_off
from viewer.estimate.coatings import as_bought, coating_needs
from viewer.estimate.items import Unit
from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.packs import cheapest
from viewer.estimate.prices import Offer
from viewer.estimate.reading import read_prices
from viewer.estimate.total import estimate


def need(item: str, amount: object, length_mm: int | None = None) -> Need:
    return Need(
        item=item,
        parts=(Part(label="all", quantity=Quantity.exactly(Decimal(str(amount)))),),
        length_mm=Decimal(length_mm) if length_mm else None,
    )


def offer(item: str, per: Unit, pack: object, price: object, length_mm: int | None = None) -> Offer:
    return Offer(
        item=item,
        of="",
        per=per,
        pack=None if pack is None else Decimal(str(pack)),
        length_mm=Decimal(length_mm) if length_mm else None,
        price=Decimal(str(price)),
        supplier="",
    )


TINS = [
    offer("stain", "l", "0.25", "9.60"),
    offer("stain", "l", "0.75", "22.40"),
    offer("stain", "l", "2.5", 61),
]


@pytest.mark.parametrize(
    ("litres", "counts"),
    [
        ("0.2", {"0.25": 1}),
        ("0.6", {"0.75": 1}),  # 22.40 against 3 x 9.60 = 28.80
        ("0.75", {"0.75": 1}),
        ("2.3", {"2.5": 1}),  # 61 against 3 x 22.40 = 67.20
        ("2.6", {"2.5": 1, "0.25": 1}),
    ],
)
def test_tins_by_hand(litres: str, counts: dict[str, int]) -> None:
    bought = {
        str(one.offer.pack): int(one.count) for one in cheapest(need("stain", litres), Decimal(litres), TINS)
    }
    assert bought == counts


def test_a_metre_price_buys_lengths_and_competes_with_a_piece_price() -> None:
    wanted = need("section", 4, 2700)
    by_metre, by_piece = offer("section", "m", None, "4.20"), offer("section", "piece", None, "11.00", 2700)
    (one,) = cheapest(wanted, Decimal(4), [by_metre])
    assert (one.unit_price, one.cost) == (Decimal("11.34"), Decimal("45.36"))
    (one,) = cheapest(wanted, Decimal(4), [by_metre, by_piece])
    assert one.cost == 44
    assert not offer("section", "piece", None, 9, 3600).fits(wanted)


def test_many_pieces_are_quick_and_nothing_costs_nothing() -> None:
    (one,) = cheapest(need("staples", 1_200_000), Decimal(1_200_000), [offer("staples", "piece", 1000, 6)])
    assert (one.count, one.cost) == (1200, 7200)
    assert cheapest(need("stain", 0), Decimal(0), TINS) == ()


packs = st.dictionaries(st.integers(1, 12), st.integers(1, 60), min_size=1, max_size=3)


@settings(deadline=None, max_examples=150)
@given(packs, st.integers(1, 60))
def test_no_set_of_packs_is_cheaper(sold: dict[int, int], amount: int) -> None:
    offers = [offer("pins", "piece", size, price) for size, price in sold.items()]
    bought = cheapest(need("pins", amount), Decimal(amount), offers)
    assert sum((one.offer.pack or 1) * one.count for one in bought) >= amount
    ranges = [range(-(-amount // size) + 1) for size in sold]
    least = min(
        sum(count * price for count, price in zip(counts, sold.values(), strict=True))
        for counts in product(*ranges)
        if sum(count * size for count, size in zip(counts, sold, strict=True)) >= amount
    )
    assert sum(one.cost for one in bought) == least


HEADING = "currency,EUR\nitem,of,per,pack,length_mm,price\n"
SHELVES = {
    "by name": "stain,walnut,l,0.75,,22.4\nstain,walnut,l,2.5,,61\n"
    "stain,honey,l,1,,26\ntopcoat,oil,l,1,,31\n",
    "any tone": "stain,,l,0.25,,9.6\nstain,,l,2.5,,61\ntopcoat,,l,0.75,,29\n",
    "a name hides any tone": "stain,,l,2.5,,1\nstain,walnut,l,1,,28\nstain,,l,1,,20\ntopcoat,,l,1,,30\n",
    "by measure": "stain,,l,,,24\ntopcoat,,l,0.75,,29\ntopcoat,,l,,,20\n",
    "topcoat only": "topcoat,,l,2.5,,70\n",
}


@pytest.mark.parametrize("shelf", SHELVES)
@pytest.mark.parametrize(
    "finish",
    [
        Finish(stain="walnut", coats=2, topcoat="oil", fabric="black paint"),
        Finish(own_tone=Recipe(first="walnut", second="honey", second_parts=3), topcoat="oil"),
    ],
    ids=["one tone", "own tone"],
)
def test_the_tins_shown_are_the_tins_priced(catalogue: Catalogue, shelf: str, finish: Finish) -> None:
    prices = read_prices(HEADING + SHELVES[shelf], file_name="p.csv")
    coverage = take_off({"slat_front": 11.0, "slat_side": 7.0, "fabric": 9.0}, finish, catalogue)
    shown = as_bought(coverage, prices)
    priced = estimate(coating_needs(coverage), prices)
    for item, shelf_of in (
        ("stain", shown.stain),
        ("topcoat", shown.topcoat),
        ("backing_paint", shown.backing_paint),
    ):
        assert shelf_of is not None or item == "backing_paint"
        for part in shelf_of.parts if shelf_of is not None else ():
            line = priced.line(item, part.name)
            assert line is not None
            bought = {int(one.offer.pack * 1000): one.count for one in line.bought if one.offer.pack}
            if line.cost is not None:
                assert dict(part.tins.counts) == bought
                assert part.tins.cost is not None
                assert prices.rounded(part.tins.cost) == line.cost.likely
            assert part.tins.volume_ml >= part.litres.likely * 1000
