"""The shopping list: what to ask for at each supplier, rounded to what is sold. Work is not on it."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from gettext import gettext as _

from viewer.estimate.changes import amount, name_of
from viewer.estimate.items import ITEMS
from viewer.estimate.packs import Bought
from viewer.estimate.total import Estimate, Line


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line at one supplier; ``each`` and ``cost`` None: no price yet. Prices as the list gives them."""

    what: str
    count: Decimal
    pack: str
    """What one of them is: ``2.5 l``, ``100``, ``1 m``."""
    each: Decimal | None
    cost: Decimal | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    """``name`` empty: nobody sells it yet."""

    name: str
    entries: tuple[Entry, ...]

    @property
    def cost(self) -> Decimal:
        """The sum of the entries that have a price."""
        return sum((entry.cost for entry in self.entries if entry.cost is not None), Decimal(0))


def shopping_list(estimate: Estimate) -> tuple[Supplier, ...]:
    """Suppliers in the order of the alphabet, what has no price last."""
    found: dict[str, list[Entry]] = {}
    for line in estimate.lines:
        if ITEMS[line.need.item].stage == "labour":
            continue
        if line.cost is None:
            found.setdefault("", []).append(_without_price(line))
        for bought in line.bought:
            found.setdefault(bought.offer.supplier, []).append(_entry(estimate, line, bought))
    names = sorted(found, key=lambda name: (not name, name.casefold(), name))
    return tuple(Supplier(name=name, entries=tuple(found[name])) for name in names)


def _entry(estimate: Estimate, line: Line, bought: Bought) -> Entry:
    assert estimate.prices is not None, "what was bought had a price"
    offer = bought.offer
    by_measure = offer.pack is None and line.need.unit != "piece"
    return Entry(
        what=name_of(line.need),
        count=bought.count,
        pack=_("by the %(unit)s") % {"unit": offer.per}
        if by_measure
        else amount(offer.pack or Decimal(1), line.need.unit),
        each=bought.unit_price,
        cost=estimate.prices.rounded(bought.cost),
        note=line.need.note,
    )


def _without_price(line: Line) -> Entry:
    """The likely quantity, rounded up to a tenth of the unit or a whole piece."""
    need = line.need
    step = Decimal(1) if need.unit == "piece" else Decimal("0.1")
    return Entry(
        what=name_of(need),
        count=need.quantity.likely.quantize(step, rounding=ROUND_CEILING),
        pack=amount(Decimal(1), need.unit),
        each=None,
        cost=None,
        note=need.note,
    )
