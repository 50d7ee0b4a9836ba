"""A first figure before anything is measured: a range from four numbers and the user's own prices. No offer.

Every quantity is a rule of thumb (common practice) with a lean and a rich end; the lean end is priced at the
cheapest fitting price of the list, the rich end at the dearest. Nothing is rounded to packs here.
"""

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
    """``low`` and ``high`` are what is paid, tax included; None while a price is missing."""

    low: Decimal | None
    high: Decimal | None
    currency: str | None
    missing: tuple[str, ...]
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

    def quantity(self, end: int, area: Decimal, openings: int) -> Decimal:
        return (
            Decimal(self.per_m2[end]) * area
            + Decimal(self.per_opening[end]) * openings
            + Decimal(self.once[end])
        )


# common practice throughout: slats 70 to 45 mm apart, four a section, 10 to 25 % lost; boards with 10 to 35 %
# offcut; cloth 1.4 m wide with wrap; stain on 2 to 3 m2 of slat faces a square metre of wall
THUMBS = (
    _Thumb(item="section", per_m2=("4", "7"), classed=True),
    _Thumb(item="sheet", per_m2=("0.37", "0.45")),
    _Thumb(item="fabric", per_m2=("0.8", "1.1"), once=("0", "2.5")),
    _Thumb(item="stain", per_m2=("0.25", "0.55"), per_opening=("0", "0.02"), once=("0.3", "0.5")),
    _Thumb(item="topcoat", per_m2=("0", "0.35")),
    _Thumb(item="pins", per_m2=("50", "90")),
    _Thumb(item="screws", per_m2=("4", "7")),
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
    shares, missing = _shares(area, timber_class, openings, prices)
    if prices is None or missing:
        return Ballpark(
            low=None,
            high=None,
            currency=prices.currency if prices else None,
            missing=missing,
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
    return Ballpark(low=low, high=high, currency=prices.currency, missing=(), words=sentence, shares=shares)


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
) -> tuple[tuple[Share, ...], tuple[str, ...]]:
    """What each item adds at both ends, and the items that have no price."""
    shares, missing = [], []
    for thumb in THUMBS:
        quantity = (thumb.quantity(0, area, openings), thumb.quantity(1, area, openings))
        offers = [offer for offer in prices.offers if offer.item == thumb.item] if prices is not None else []
        if thumb.classed:
            offers = [offer for offer in offers if offer.timber_class == timber_class]
        if not offers:
            missing.append(f"{thumb.item}: {timber_class}" if thumb.classed else thumb.item)
        each = [_unit_price(offer) for offer in offers]
        cost = (quantity[0] * min(each), quantity[1] * max(each)) if each else None
        shares.append(Share(item=thumb.item, quantity=quantity, cost=cost))
    if prices is not None and prices.labour.given:
        rates = [offer.price / (offer.pack or 1) for offer in prices.offers if offer.item == "labour"]
        hours = hours_of(prices.labour, area, openings)
        cost = (hours * min(rates), hours * max(rates)) if rates else None
        shares.append(Share(item="labour", quantity=(hours, hours), cost=cost))
        missing += [] if rates else ["labour"]
    return tuple(shares), tuple(missing)


def _unit_price(offer: Offer) -> Decimal:
    """Per metre for sections, per unit for the rest."""
    if offer.item == "section" and offer.per == "piece":
        length = offer.length_mm / 1000 if offer.length_mm else METRES_A_SECTION
        return offer.price / (offer.pack or 1) / length
    return offer.price / (offer.pack or 1)


def hours_of(labour: Labour, area: Decimal, openings: int) -> Decimal:
    """Hours by rule of thumb: 7 slats, 1.5 sections, 4 coats and 0.7 panels a square metre."""
    zero = Decimal(0)
    minutes = area * (
        7 * (labour.per_slat or zero)
        + Decimal("1.5") * (labour.per_section or zero)
        + 4 * (labour.per_coat_m2 or zero)
        + Decimal("0.7") * (labour.per_panel or zero)
        + (labour.per_m2 or zero)
    )
    return (minutes + openings * (labour.per_opening or zero) + (labour.per_job or zero)) / 60


def _paid(amount: Decimal, prices: PriceList) -> Decimal:
    return amount if prices.prices_include_tax else amount * (1 + prices.tax_percent / 100)
