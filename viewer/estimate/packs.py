"""Which packs to buy for a need: the least cost over everything on sale, found exactly."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, gcd

from finishes.tins import least_cost
from viewer.estimate.needs import Need
from viewer.estimate.prices import Offer

STEPS = Decimal(1000)
"""Packs are compared in thousandths of the unit: millilitres, millimetres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """``count`` times one price; ``count`` is a whole number of packs, or any amount where none are sold."""

    offer: Offer
    count: Decimal
    unit_price: Decimal
    """What one pack costs: a metre price times the piece's length where pieces are priced by the metre."""

    @property
    def cost(self) -> Decimal:
        return self.count * self.unit_price


def cheapest(need: Need, amount: Decimal, offers: Sequence[Offer]) -> tuple[Bought, ...]:
    """What to buy for ``amount`` of the need; empty if nothing is needed. ``offers`` must not be empty.

    Either one price that sells any amount, or the cheapest set of packs; the less of the two.
    """
    if amount <= 0:
        return ()
    choices: list[tuple[Bought, ...]] = [
        (bought,) for offer in offers if (bought := _by_measure(need, amount, offer)) is not None
    ]
    packed = [offer for offer in offers if _pack(need, offer) is not None]
    if packed:
        choices.append(_by_packs(need, amount, packed))
    return min(choices, key=lambda bought: (sum(one.cost for one in bought), len(bought)))


def _pack(need: Need, offer: Offer) -> Decimal | None:
    """How much of the need one price buys; None where it is sold by measure."""
    if offer.pack is not None:
        return offer.pack if offer.per == need.unit else None
    return Decimal(1) if need.unit == "piece" else None


def _price(need: Need, offer: Offer) -> Decimal:
    if offer.per != need.unit and need.length_mm is not None:
        return offer.price * need.length_mm / 1000 / (offer.pack or 1)
    return offer.price


def _by_measure(need: Need, amount: Decimal, offer: Offer) -> Bought | None:
    if _pack(need, offer) is not None and offer.per == need.unit:
        return None
    return Bought(offer=offer, count=amount, unit_price=_price(need, offer))


def _by_packs(need: Need, amount: Decimal, offers: Sequence[Offer]) -> tuple[Bought, ...]:
    sold: dict[int, Offer] = {}
    for offer in sorted(offers, key=lambda one: _price(need, one)):
        pack = _pack(need, offer)
        assert pack is not None
        sold.setdefault(int(pack * STEPS), offer)
    # all in multiples of what the sizes have in common, which keeps the search short
    measure = gcd(*sold)
    prices = {size // measure: _price(need, offer) for size, offer in sold.items()}
    wanted = ceil(amount * STEPS / measure)
    found = dict.fromkeys(prices, 0)
    best = min(prices, key=lambda size: (prices[size] / size, -size))
    # among any ``best`` other packs some fill a multiple of the best one's size, which the best one fills for
    # no more: so fewer than that many others are needed, and the rest is the best pack's
    found[best] = max(0, (wanted - (best - 1) * max(prices)) // best)
    for size, count in least_cost(max(0, wanted - found[best] * best), prices).counts:
        found[size] += count
    return tuple(
        Bought(offer=sold[size * measure], count=Decimal(count), unit_price=prices[size])
        for size, count in sorted(found.items(), reverse=True)
        if count
    )
