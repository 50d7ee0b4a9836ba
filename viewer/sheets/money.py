"""The sheets with money on them: shopping, the estimate, and a comparison for the maker alone."""

from collections.abc import Sequence
from decimal import Decimal
from gettext import gettext as _

from viewer.estimate.alternatives import Alternative
from viewer.estimate.changes import amount, name_of
from viewer.estimate.compare import comparisons, per_unit
from viewer.estimate.export import rounding_words
from viewer.estimate.shopping import Supplier, shopping_list
from viewer.estimate.total import Estimate
from viewer.sheets.book import Book, Column
from viewer.sheets.matter import Matter
from viewer.sheets.paper import upright

NO_PRICE = "–"


def _money(value: Decimal | None) -> str:
    return NO_PRICE if value is None else f"{value:f}".replace("-", "−")


def shopping(matter: Matter, found: Sequence[Alternative]) -> Book:
    """What to ask for at each supplier, rounded to what is sold; then what would cost less."""
    book = Book(matter.stamp, title=_("Shopping list"))
    book.begin(upright(matter.paper), _("Shopping list"))
    priced = matter.needed.priced
    if priced is None:
        _no_plan(book, matter)
        return book
    for supplier in shopping_list(priced.estimate):
        _supplier(book, supplier, priced.estimate)
    prices = priced.estimate.prices
    if prices is not None:
        paid = sum((one.cost for one in shopping_list(priced.estimate)), Decimal(0))
        tax = _("tax included") if prices.prices_include_tax else _("before tax")
        words = {"sum": f"{paid:f}", "currency": prices.currency, "tax": tax}
        book.space(2)
        book.text(_("All suppliers: %(sum)s %(currency)s, %(tax)s.") % words, bold=True)
    if found:
        book.heading(_("Would cost less"))
        book.text(
            _("Each was set out, planned and priced like the job itself. Change the job first, then buy.")
        )
        for one in found:
            book.text(one.words, lead="–", lead_width=4)
    return book


def _supplier(book: Book, supplier: Supplier, estimate: Estimate) -> None:
    name = supplier.name or _("No price yet: in no sum")
    book.heading(name[:1].upper() + name[1:], keep=22)
    currency = estimate.prices.currency if estimate.prices else ""
    with_prices = bool(supplier.name)
    columns = [Column(head=_("Got"), share=1), Column(head=_("What"), share=7)]
    named = [("", f"{one.what} ({one.note})" if one.note else one.what) for one in supplier.entries]
    if with_prices:
        columns += [
            Column(head=_("Count"), share=1.6, end=True),
            Column(head=_("of"), share=1.8),
            Column(head=_("Each"), share=1.8, end=True),
            Column(head=currency, share=2.2, end=True),
        ]
        rows: list[tuple[str, ...]] = [
            (*words, _number(one.count), one.pack, _money(one.each), _money(one.cost))
            for words, one in zip(named, supplier.entries, strict=True)
        ]
    else:
        # how it is packed is not known: the amount with its unit
        columns.append(Column(head=_("Amount"), share=2, end=True))
        rows = [
            (*words, f"{_number(one.count)}{one.pack.removeprefix('1')}")
            for words, one in zip(named, supplier.entries, strict=True)
        ]
    book.table(columns, rows)
    if with_prices and estimate.prices is not None:
        tax = _("tax included") if estimate.prices.prices_include_tax else _("before tax")
        words = {"sum": f"{supplier.cost:f}", "currency": currency, "tax": tax}
        book.text(_("Here %(sum)s %(currency)s, %(tax)s.") % words, bold=True)


def _no_plan(book: Book, matter: Matter) -> None:
    book.text(_("Nothing can be counted: what is on sale does not give this wall."), bold=True)
    for _path, message in matter.needed.no_plan:
        book.text(message, lead="–", lead_width=4)


def estimate_sheet(matter: Matter) -> Book:
    """Every line with its quantity and cost, sums, tax, what is missing and what is left out."""
    book = Book(matter.stamp, title=_("Estimate"))
    book.begin(upright(matter.paper), _("Estimate"))
    book.text(_("Finish: %(name)s") % {"name": matter.label})
    priced = matter.needed.priced
    if priced is None:
        _no_plan(book, matter)
        return book
    estimate = priced.estimate
    currency = estimate.prices.currency if estimate.prices else ""
    rows = []
    for line in estimate.lines:
        quantity = line.need.quantity
        spread = "" if quantity.low == quantity.high else f"{_number(quantity.low)}–{_number(quantity.high)}"
        rows.append(
            (
                name_of(line.need),
                _quantity(quantity.likely, line.need.unit),
                spread,
                _money(line.cost.likely if line.cost else None),
            )
        )
    columns = [
        Column(head=_("What"), share=7),
        Column(head=_("Likely"), share=2.2, end=True),
        Column(head=_("Range"), share=2.2, end=True),
        Column(head=currency, share=2.2, end=True),
    ]
    if estimate.prices is None:
        book.table(columns[:-1], [row[:-1] for row in rows])
        book.text(_("No price list was given: all of it is without a price, in no sum."), bold=True)
        return book
    book.table(columns, rows)
    _sums(book, matter, estimate)
    return book


def _number(value: Decimal) -> str:
    return amount(value, "piece")


def _quantity(value: Decimal, unit: str) -> str:
    return f"{value:.1f} h" if unit == "hour" else amount(value, unit)


def _sums(book: Book, matter: Matter, estimate: Estimate) -> None:
    prices, priced = estimate.prices, matter.needed.priced
    if prices is not None and priced is not None:
        rows = [(_("Sum of the lines with a price"), _money(estimate.priced.likely))]
        tax = (
            _("Tax, %(percent)s %%, in the prices") if prices.prices_include_tax else _("Tax, %(percent)s %%")
        )
        rows.append((tax % {"percent": f"{prices.tax_percent:f}"}, _money(estimate.tax)))
        found = estimate.range
        if found is not None:
            rows.append((_("In all"), _money(found.likely)))
            rows.append(
                (
                    _("In all, for the low and the high quantities"),
                    f"{_money(found.low)} – {_money(found.high)}",
                )
            )
            each = per_unit(estimate, priced.work)
            rows.append((_("a square metre of wall"), _money(each["per_m2"])))
            rows.append((_("a panel"), _money(each["per_panel"])))
        else:
            rows.append(
                (_("In all without what is missing"), _money(estimate.with_tax(estimate.priced.likely)))
            )
        book.table([Column(head=_("Sum"), share=9), Column(head=prices.currency, share=4, end=True)], rows)
        words = {"name": prices.name, "rounding": rounding_words(estimate) or ""}
        book.text(_("Prices: %(name)s. Rounded: %(rounding)s.") % words)
    if estimate.missing:
        book.heading(_("Without a price, in no sum"))
        for line in estimate.lines:
            if line.cost is None:
                book.text(name_of(line.need), lead="–", lead_width=4)
    for sentence in estimate.left_out:
        book.text(sentence, bold=True)


def comparison(matter: Matter) -> Book:
    """Making it beside buying it ready; the maker's own page."""
    book = Book(matter.stamp, title=_("Comparison"))
    book.begin(upright(matter.paper), _("For the maker only: make or buy"))
    priced = matter.needed.priced
    if priced is None:
        _no_plan(book, matter)
        return book
    if matter.prices is None:
        book.text(_("No price list was given: nothing can be compared."), bold=True)
        return book
    ways = {"ready_strips": _("Strips bought ready-cut"), "ready_panels": _("Panels bought ready-made")}
    own = priced.estimate.total
    rows = [(_("Made from sections, as planned"), _money(own), "", "")]
    found = comparisons(priced.needs, priced.work, matter.prices)
    for one in found:
        rows.append(
            (
                ways[one.way],
                _money(one.other.total),
                _money(one.saving),
                NO_PRICE if one.break_even_m is None else f"{one.break_even_m:f} m",
            )
        )
    book.table(
        [
            Column(head=_("Way"), share=6),
            Column(head=matter.prices.currency, share=2.4, end=True),
            Column(head=_("Making it saves"), share=2.6, end=True),
            Column(head=_("Break-even run"), share=2.6, end=True),
        ],
        rows,
    )
    for one in found:
        book.text(f"{ways[one.way]}: {one.words}", lead="–", lead_width=4)
    for sentence in priced.estimate.left_out:
        book.text(sentence, bold=True)
    return book
