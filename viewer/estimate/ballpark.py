"""A first figure before anything is measured: a range from four numbers and the user's own prices. No offer.

Every quantity has a lean and a rich end; the lean end is priced at the cheapest fitting price of the list and
by measure, the rich end at the dearest and in whole packs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from gettext import gettext as _

from viewer.estimate.practice import Labour
from viewer.estimate.prices import Offer, PriceList, TimberClass

STEP = Decimal(50)
"""Both ends are rounded outward to this: a ballpark with cents would be read as a price."""


Ends = tuple[Decimal, Decimal]
"""The lean and the rich end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What one item adds. ``cost``: as the list's prices are, with or without tax; None without a price."""

    item: str
    quantity: Ends
    cost: Ends | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ballpark:
    """``low`` and ``high`` are what is paid, tax included; None while a price that weighs is missing.

    left_out : small things without a price, which the range does not hold.
    """

    low: Decimal | None
    high: Decimal | None
    currency: str | None
    missing: tuple[str, ...]
    left_out: tuple[str, ...]
    words: str
    shares: tuple[Share, ...]
    is_offer: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Thumb:
    """Quantity of one item per square metre, per opening and once, at the lean and the rich end."""

    item: str
    per_m2: tuple[str, str] = ("0", "0")
    per_opening: tuple[str, str] = ("0", "0")
    once: tuple[str, str] = ("0", "0")
    classed: bool = False
    small: bool = False
    """Left out, and named so, where it has no price."""

    def quantity(self, end: int, area: Decimal, openings: int) -> Decimal:
        return (
            Decimal(self.per_m2[end]) * area
            + Decimal(self.per_opening[end]) * openings
            + Decimal(self.once[end])
        )


# The tenth to the ninetieth part of what this program itself worked out for seventy walls: 1.8 to 7.2 m long,
# 2.3 to 2.7 m high, slats 30 to 45 mm wide and 16 to 25 deep, gaps 10 to 18, one or two coats of stain and up
# to two of topcoat, up to four sockets. What comes once (samples, touch-up pot, spare drop) stands by itself.
THUMBS = (
    _Thumb(item="section", per_m2=("4.7", "9.7"), classed=True),
    _Thumb(item="sheet", per_m2=("0.35", "0.47")),
    _Thumb(item="fabric", per_m2=("1.1", "1.45"), once=("0", "2.5")),
    _Thumb(item="stain", per_m2=("0.32", "0.62"), per_opening=("0", "0.02"), once=("0.25", "0.35")),
    _Thumb(item="topcoat", per_m2=("0", "0.46"), once=("0", "0.3")),
    _Thumb(item="pins", per_m2=("69", "98"), small=True),
    _Thumb(item="screws", per_m2=("5.3", "8.7"), small=True),
    _Thumb(item="plugs", per_m2=("4.8", "7.8"), small=True),
    _Thumb(item="packers", per_m2=("9.6", "15.7"), small=True),
    _Thumb(item="staples", per_m2=("91", "131"), small=True),
    _Thumb(item="glue", per_m2=("0.1", "0.25"), small=True),
    _Thumb(item="tape", per_m2=("1.3", "2.8"), small=True),
    _Thumb(item="discs", per_m2=("2", "2.9"), small=True),
    _Thumb(item="ledger", per_m2=("0.36", "0.44"), small=True),
    _Thumb(item="black_paint", per_m2=("0", "0.05"), small=True),
)
METRES_A_SECTION = Decimal("2.7")
"""Length by which a price a piece is taken per metre when the list states no length."""


def ballpark(
    *,
    length_m: Decimal,
    height_m: Decimal,
    timber_class: TimberClass,
    openings: int,
    prices: PriceList | None,
) -> Ballpark:
    """A range for a wall of this length and height. Raises ValueError naming the number that is wrong."""
    _refuse(length_m, height_m, openings)
    area = length_m * height_m
    shares, missing, left_out = _shares(area, timber_class, openings, prices)
    if prices is None or missing:
        return Ballpark(
            low=None,
            high=None,
            currency=prices.currency if prices else None,
            missing=missing,
            left_out=left_out,
            words=_("No ballpark without these prices: %(missing)s.") % {"missing": ", ".join(missing)},
            shares=shares,
        )
    low, high = (
        _paid(sum((share.cost[end] for share in shares if share.cost), Decimal(0)), prices) for end in (0, 1)
    )
    low = (low / STEP).to_integral_value(rounding=ROUND_FLOOR) * STEP
    high = (high / STEP).to_integral_value(rounding=ROUND_CEILING) * STEP
    words = {"low": f"{low:f}", "high": f"{high:f}", "currency": prices.currency}
    sentence = (
        _("Between %(low)s and %(high)s %(currency)s: a ballpark before measuring, not an offer.") % words
    )
    if not prices.labour.given:
        sentence = _("%(sentence)s Labour is not in it.") % {"sentence": sentence}
    if left_out:
        told = {"sentence": sentence, "items": ", ".join(left_out)}
        sentence = _("%(sentence)s Not in it, for want of a price: %(items)s.") % told
    return Ballpark(
        low=low,
        high=high,
        currency=prices.currency,
        missing=(),
        left_out=left_out,
        words=sentence,
        shares=shares,
    )


LIMITS = {
    "length_m": (Decimal("0.1"), Decimal(60)),
    "height_m": (Decimal("0.3"), Decimal(12)),
    "openings": (Decimal(0), Decimal(200)),
}
"""The least and the most that is accepted: the limits of the job file, in metres."""


def _refuse(length_m: Decimal, height_m: Decimal, openings: int) -> None:
    given = {"length_m": length_m, "height_m": height_m, "openings": Decimal(openings)}
    for name, (least, most) in LIMITS.items():
        if not least <= given[name] <= most:
            raise ValueError(f"{name}: {given[name]} is outside what is accepted: {least} to {most}")


def _shares(
    area: Decimal, timber_class: TimberClass, openings: int, prices: PriceList | None
) -> tuple[tuple[Share, ...], tuple[str, ...], tuple[str, ...]]:
    """What each item adds at both ends, what has no price and weighs, and what has none and is small."""
    shares: list[Share] = []
    missing: list[str] = []
    left_out: list[str] = []
    for thumb in THUMBS:
        quantity = (thumb.quantity(0, area, openings), thumb.quantity(1, area, openings))
        offers = [offer for offer in prices.offers if offer.item == thumb.item] if prices is not None else []
        if thumb.classed:
            offers = [offer for offer in offers if offer.timber_class == timber_class]
        if not offers:
            name = f"{thumb.item}: {timber_class}" if thumb.classed else thumb.item
            (left_out if thumb.small else missing).append(name)
        shares.append(Share(item=thumb.item, quantity=quantity, cost=_cost(quantity, offers)))
    if prices is not None and prices.labour.given:
        offers = [offer for offer in prices.offers if offer.item == "labour"]
        hours = (
            hours_of(prices.labour, area, openings, end=0),
            hours_of(prices.labour, area, openings, end=1),
        )
        shares.append(Share(item="labour", quantity=hours, cost=_cost(hours, offers)))
        missing += [] if offers else ["labour"]
    return tuple(shares), tuple(missing), tuple(left_out)


def _cost(quantity: Ends, offers: Sequence[Offer]) -> Ends | None:
    """The lean end by measure at the cheapest price, the rich one in whole packs at the dearest."""
    if not offers:
        return None
    return (
        quantity[0] * min(_unit_price(offer) for offer in offers),
        max(_in_packs(quantity[1], offer) for offer in offers),
    )


def _in_packs(quantity: Decimal, offer: Offer) -> Decimal:
    if offer.item == "section" or (offer.pack is None and offer.per != "piece"):
        return quantity * _unit_price(offer)
    packs = (quantity / (offer.pack or 1)).to_integral_value(rounding=ROUND_CEILING)
    return packs * offer.price


def _unit_price(offer: Offer) -> Decimal:
    """Per metre for sections, per unit for the rest."""
    if offer.item == "section" and offer.per == "piece":
        length = offer.length_mm / 1000 if offer.length_mm else METRES_A_SECTION
        return offer.price / (offer.pack or 1) / length
    return offer.price / (offer.pack or 1)


WORK_PER_M2 = {
    "per_slat": ("7", "10.4"),
    "per_section": ("1.7", "3.3"),
    "per_coat_m2": ("1.8", "6.8"),
    "per_panel": ("0.7", "1.05"),
    "per_m2": ("1", "1"),
}
"""Slat pieces, sections, coats and panels a square metre of wall; from the same walls as ``THUMBS``."""


def hours_of(labour: Labour, area: Decimal, openings: int, *, end: int) -> Decimal:
    """Hours at the lean (0) or the rich (1) end."""
    minutes = [
        area * Decimal(counts[end]) * (getattr(labour, name) or Decimal(0))
        for name, counts in WORK_PER_M2.items()
    ]
    once = openings * (labour.per_opening or Decimal(0)) + (labour.per_job or Decimal(0))
    return (sum(minutes, Decimal(0)) + once) / 60


def _paid(amount: Decimal, prices: PriceList) -> Decimal:
    return amount if prices.prices_include_tax else amount * (1 + prices.tax_percent / 100)
