"""An estimate as plain JSON values. Amounts are numbers with the decimals that the price list rounds to."""

from decimal import Decimal
from gettext import gettext as _
from typing import Any

from viewer.estimate.items import ITEMS
from viewer.estimate.needs import Quantity
from viewer.estimate.total import Cost, Estimate, Line

Json = dict[str, Any]


def price_json(estimate: Estimate) -> Json:
    """``total`` is null while anything is missing; ``without_missing`` is then the sum of the rest."""
    prices = estimate.prices
    found = estimate.range
    answer: Json = {
        "currency": prices.currency if prices else None,
        "total": number(estimate.total),
        "range": [number(found.low), number(found.high)] if found else None,
        "missing": list(estimate.missing),
        "without_missing": number(estimate.with_tax(estimate.priced.likely)) if prices else None,
        "tax": number(estimate.tax) if prices else None,
        "tax_percent": number(prices.tax_percent) if prices else None,
        "prices_include_tax": prices.prices_include_tax if prices else None,
        "rounding": rounding_words(estimate),
        "left_out": list(estimate.left_out),
        "lines": [line_json(line) for line in estimate.lines],
    }
    return answer


def rounding_words(estimate: Estimate) -> str | None:
    """How sums are rounded, in words."""
    if estimate.prices is None:
        return None
    return _("each line, and the tax, to %(step)s %(currency)s, halves up") % {
        "step": f"{estimate.prices.round_to:f}",
        "currency": estimate.prices.currency,
    }


def line_json(line: Line) -> Json:
    """A line as JSON; ``cost`` and ``cost_range`` are null where a price is missing, never 0."""
    need = line.need
    return {
        "item": need.item,
        "words": ITEMS[need.item].words,
        "of": need.of,
        "length_mm": number(need.length_mm),
        "unit": need.unit,
        "quantity": _quantity(need.quantity),
        "parts": [{"label": part.label, **_quantity(part.quantity)} for part in need.parts],
        "note": need.note,
        "buy": [
            {
                "count": number(one.count),
                "pack": number(one.offer.pack),
                "per": one.offer.per,
                "price": number(one.unit_price),
                "supplier": one.offer.supplier,
            }
            for one in line.bought
        ],
        "cost": number(line.cost.likely) if line.cost else None,
        "cost_range": _cost(line.cost),
    }


def _quantity(quantity: Quantity) -> Json:
    return {
        "low": number(quantity.low),
        "likely": number(quantity.likely),
        "high": number(quantity.high),
    }


def _cost(cost: Cost | None) -> list[int | float | None] | None:
    return [number(cost.low), number(cost.high)] if cost else None


def number(value: Decimal | None) -> int | float | None:
    """A Decimal as a JSON number: money and amounts have few digits, which a float prints back exactly."""
    if value is None:
        return None
    return int(value) if value == value.to_integral_value() else float(value)
