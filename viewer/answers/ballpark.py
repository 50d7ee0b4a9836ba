"""A ballpark as it is printed: a range from four numbers, with what each item adds; never an offer."""

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from gettext import gettext as _
from typing import Any, get_args

from viewer.estimate.ballpark import LIMITS, Share, ballpark
from viewer.estimate.export import number
from viewer.estimate.items import ITEMS
from viewer.estimate.prices import TIMBER_CLASSES as TIMBER_CLASSES
from viewer.estimate.prices import PriceList, TimberClass
from viewer.job.accepted import listed, nearest, shown
from viewer.job.reading import Problem

Json = dict[str, Any]
TENTH = Decimal("0.1")

assert get_args(TimberClass) == TIMBER_CLASSES


def ballpark_answer(
    given: Mapping[str, str], prices: PriceList | None
) -> tuple[Json | None, tuple[Problem, ...]]:
    """The answer, or every problem of what was given, by its field.

    given : texts as typed: ``length`` and ``height`` in metres, ``timber`` (softwood, hardwood, board),
    ``openings`` (how many; none when left out).
    """
    problems: list[Problem] = []
    length = _amount(given, "length", "length_m", problems)
    height = _amount(given, "height", "height_m", problems)
    counted = {"openings": given.get("openings") or "0"}
    openings = _amount(counted, "openings", "openings", problems)
    if openings is not None and openings != openings.to_integral_value():
        problems.append(("openings", _("{text} is no whole number").format(text=given["openings"])))
    timber_class = next((word for word in TIMBER_CLASSES if word == given.get("timber", "")), None)
    if timber_class is None:
        problems.append(("timber", _class_problem(given.get("timber", ""))))
    if problems or length is None or height is None or openings is None or timber_class is None:
        return None, tuple(problems)
    found = ballpark(
        length_m=length, height_m=height, timber_class=timber_class, openings=int(openings), prices=prices
    )
    answer = {
        "low": number(found.low),
        "high": number(found.high),
        "currency": found.currency,
        "missing": list(found.missing),
        "left_out": list(found.left_out),
        "is_offer": found.is_offer,
        "words": found.words,
        "tax_percent": number(prices.tax_percent) if prices else None,
        "prices_include_tax": prices.prices_include_tax if prices else None,
        "lines": [_line(share, prices) for share in found.shares],
    }
    return answer, ()


def ballpark_wall(given: Mapping[str, str]) -> tuple[Json, tuple[Problem, ...]]:
    """The wall of a job that goes on from a ballpark, in mm as its job file has it, or what is wrong."""
    problems: list[Problem] = []
    length = _amount(given, "length", "length_m", problems)
    height = _amount(given, "height", "height_m", problems)
    if length is None or height is None:
        return {}, tuple(problems)
    return {"width_mm": number(length * 1000), "height_mm": number(height * 1000)}, ()


def _amount(given: Mapping[str, str], field: str, limit: str, problems: list[Problem]) -> Decimal | None:
    """A number as people write it, one decimal comma or point, within its limits."""
    text = given.get(field, "").strip()
    least, most = LIMITS[limit]
    try:
        value = Decimal(text.replace(",", "."))
    except InvalidOperation:
        value = None
    if value is None or not value.is_finite() or not least <= value <= most:
        words = _("{text} is not accepted; expected a number from {least} to {most}")
        unit = _(" metres") if limit.endswith("_m") else ""
        problems.append((field, words.format(text=shown(text), least=least, most=most) + unit))
        return None
    return value


def _class_problem(text: str) -> str:
    close = nearest(text, TIMBER_CLASSES)
    offer = _("; the nearest is {close}").format(close=close) if close else ""
    words = _("{text} is unknown; expected {words}")
    return words.format(text=shown(text), words=listed(TIMBER_CLASSES)) + offer


def _line(share: Share, prices: PriceList | None) -> Json:
    """Quantities to a tenth, costs rounded as the price list rounds; its prices are net or gross."""
    cost = share.cost
    return {
        "item": share.item,
        "words": ITEMS[share.item].words,
        "unit": ITEMS[share.item].unit if share.item != "section" else "m",
        "quantity": [number(each.quantize(TENTH)) for each in share.quantity],
        "cost": [number(prices.rounded(each)) for each in cost] if cost and prices else None,
    }
