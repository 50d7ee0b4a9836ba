"""The estimate and the shopping list as tables; a price that is missing is an empty cell and named."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from gettext import gettext as _

from viewer.estimate.alternatives import Alternative
from viewer.estimate.changes import name_of
from viewer.estimate.export import rounding_words
from viewer.estimate.shopping import shopping_list
from viewer.estimate.total import Estimate
from viewer.export.cells import Cell, Table

Row = tuple[Cell, ...]


def shopping_table(estimate: Estimate) -> Table:
    """One row a thing to ask for, by supplier; what has no price yet stands last."""
    return Table(
        name="shopping",
        head=("supplier", "what", "count", "pack", "each", "cost", "currency", "note"),
        rows=tuple(_shopping(estimate)),
    )


def _shopping(estimate: Estimate) -> Iterator[Row]:
    currency = estimate.prices.currency if estimate.prices else ""
    for supplier in shopping_list(estimate):
        for entry in supplier.entries:
            yield (
                supplier.name or _("no price yet"),
                entry.what,
                _plain(entry.count),
                entry.pack,
                entry.each,
                entry.cost,
                currency,
                entry.note,
            )


def _plain(quantity: Decimal) -> Decimal:
    """Without trailing zeros: quantities carry six decimals inside."""
    return quantity.normalize() + Decimal(0)


def estimate_table(estimate: Estimate) -> Table:
    """One row a line with its range and cost; then tax, total, what is missing and what is left out."""
    return Table(
        name="estimate",
        head=("what", "low", "likely", "high", "unit", "cost_low", "cost", "cost_high", "note"),
        rows=(*_lines(estimate), *_sums(estimate)),
    )


def _lines(estimate: Estimate) -> Iterator[Row]:
    for line in estimate.lines:
        quantity, cost = line.need.quantity, line.cost
        yield (
            name_of(line.need),
            _plain(quantity.low),
            _plain(quantity.likely),
            _plain(quantity.high),
            line.need.unit,
            cost.low if cost else None,
            cost.likely if cost else None,
            cost.high if cost else None,
            line.need.note if cost else _("no price: not in any sum"),
        )


def _sums(estimate: Estimate) -> Iterator[Row]:
    prices = estimate.prices
    if prices is not None:
        priced = estimate.priced
        yield _sum(_("Sum of the lines with a price"), priced.low, priced.likely, priced.high)
        included = _("included in the prices") if prices.prices_include_tax else _("added to the prices")
        words = _("Tax, %(percent)s %%") % {"percent": f"{prices.tax_percent:f}"}
        yield _sum(words, None, estimate.tax, None, included)
        found = estimate.range
        if found is not None:
            words = _("In all, %(currency)s") % {"currency": prices.currency}
            yield _sum(words, found.low, found.likely, found.high, rounding_words(estimate) or "")
        else:
            words = _("In all without what is missing, %(currency)s") % {"currency": prices.currency}
            yield _sum(words, None, estimate.with_tax(priced.likely), None)
    for name in estimate.missing:
        yield _sum(_("Missing price"), None, None, None, name)
    for sentence in estimate.left_out:
        yield _sum(_("Left out"), None, None, None, sentence)


def _sum(
    words: str, low: Decimal | None, likely: Decimal | None, high: Decimal | None, note: str = ""
) -> Row:
    return words, None, None, None, "", low, likely, high, note


def alternatives_table(found: Sequence[Alternative]) -> Table:
    """What would cost less, the largest saving first."""
    return Table(
        name="costs less",
        head=("what", "saving"),
        rows=tuple((one.words, one.saving) for one in found),
    )
