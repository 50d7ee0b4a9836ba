"""What else on the price list would cost less: another section, one length only, another sheet.

Every candidate is planned and priced like the job itself; only those that save money are told.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from gettext import gettext as _
from typing import TypeVar

from pydantic import ValidationError

from meshes.cutting.stock import Stock
from meshes.layout.lengths import rounded_mm
from meshes.layout.spacing import Panels
from viewer.estimate.priced import Priced
from viewer.estimate.prices import PriceList, plain
from viewer.estimate.work import section_name

MOST = 24
"""Candidates planned at most: each takes some ten milliseconds."""
T = TypeVar("T", Stock, Panels)
SIZE = r"(\d+(?:\.\d+)?)\s*[x×]\s*(\d+(?:\.\d+)?)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """Another way to buy, what it saves (tax included), and the job's values that it changes."""

    words: str
    saving: Decimal
    stock: Stock
    panels: Panels


def alternatives(
    base: Priced,
    *,
    stock: Stock,
    panels: Panels,
    timber: str,
    prices: PriceList,
    priced_with: Callable[[Stock, Panels], Priced | None],
) -> tuple[Alternative, ...]:
    """What saves money, the largest saving first.

    ``priced_with`` sets out, plans and prices the same job with other stock and panels; None where it cannot.
    An alternative with other prices missing than the job's own cannot be compared and is not told.
    """
    found = []
    tried = 0
    for what, other_stock, other_panels in _candidates(stock, panels, timber, prices):
        tried += 1
        if tried > MOST:
            break
        other = priced_with(other_stock, other_panels)
        if other is None or other.estimate.missing != base.estimate.missing:
            continue
        saving = _paid(base) - _paid(other)
        if saving > 0:
            words = {"what": what, "saving": f"{saving:f}", "currency": prices.currency}
            found.append(
                Alternative(
                    words=_("%(what)s saves %(saving)s %(currency)s.") % words,
                    saving=saving,
                    stock=other_stock,
                    panels=other_panels,
                )
            )
    return tuple(sorted(found, key=lambda one: (-one.saving, one.words)))


def _paid(one: Priced) -> Decimal:
    return one.estimate.with_tax(one.estimate.priced.likely)


def _candidates(
    stock: Stock, panels: Panels, timber: str, prices: PriceList
) -> Iterator[tuple[str, Stock, Panels]]:
    lengths = sorted(set(stock.lengths_mm))
    for length in lengths if len(lengths) > 1 else ():
        only = stock.model_copy(update={"lengths_mm": (length,)})
        yield _("Only the length of %(mm)s mm") % {"mm": f"{rounded_mm(length)}"}, only, panels
    for sides in _sizes(prices, "section", rf"{SIZE}\s+(.+)", timber):
        other = _accepted(stock, section_mm=sides)
        if other is not None and set(sides) != set(stock.section_mm):
            yield _("The section %(name)s") % {"name": section_name(sides, timber)}, other, panels
    thickness = f"{rounded_mm(panels.thickness_mm)} mm"
    for sides in _sizes(prices, "sheet", rf"(?P<of>[\d.]+\s*mm)\s+{SIZE}", thickness):
        other_panels = _accepted(panels, sheet_mm=sides)
        if other_panels is not None and set(sides) != set(panels.sheet_mm):
            yield _("The sheet %(name)s") % {"name": section_name(sides, "")}, stock, other_panels


def _sizes(prices: PriceList, item: str, pattern: str, of: str) -> list[tuple[Fraction, Fraction]]:
    """Pairs of sizes that the list names for an item, of the given timber or thickness, each once."""
    found: dict[tuple[Fraction, Fraction], None] = {}
    for offer in prices.offers:
        match = re.fullmatch(pattern, offer.of.strip()) if offer.item == item else None
        if match is None:
            continue
        groups = match.groupdict()
        named = groups["of"] if groups else match[3]
        if plain(named) == plain(of):
            numbers = (match[2], match[3]) if groups else (match[1], match[2])
            found[Fraction(numbers[0]), Fraction(numbers[1])] = None
    return list(found)


def _accepted(value: T, **changed: tuple[Fraction, Fraction]) -> T | None:
    """The value with a change, or None where the job file would refuse it."""
    try:
        return type(value).model_validate({**value.model_dump(), **changed})
    except ValidationError:
        return None
