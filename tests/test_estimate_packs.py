"""Packs of least cost, against trying everything."""

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from viewer.estimate.items import Unit
from viewer.estimate.needs import Need, Part, Quantity
from viewer.estimate.packs import cheapest
from viewer.estimate.prices import Offer


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
