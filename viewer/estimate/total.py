"""Needs priced from one list: lines, sums, tax. A price that is missing is named; it is never 0."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from gettext import gettext as _

from viewer.estimate.needs import Need
from viewer.estimate.packs import Bought, cheapest
from viewer.estimate.prices import PriceList


@dataclass(frozen=True, slots=True, kw_only=True)
class Cost:
    """Money for the low, the likely and the high quantity."""

    low: Decimal
    likely: Decimal
    high: Decimal

    def __add__(self, other: "Cost") -> "Cost":
        return Cost(low=self.low + other.low, likely=self.likely + other.likely, high=self.high + other.high)


NOTHING = Cost(low=Decimal(0), likely=Decimal(0), high=Decimal(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One need, what is bought for its likely quantity, and what that costs; ``cost`` None: no price."""

    need: Need
    bought: tuple[Bought, ...]
    cost: Cost | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """All lines; ``total`` and ``range`` are what is paid, tax included; None while a price is missing."""

    prices: PriceList | None
    lines: tuple[Line, ...]
    left_out: tuple[str, ...] = ()
    """Sentences about what no line stands for: labour without rates, say."""

    @property
    def missing(self) -> tuple[str, ...]:
        """Names of the needs without a price, as they would stand in a price list."""
        return tuple(line.need.name for line in self.lines if line.cost is None)

    @property
    def priced(self) -> Cost:
        """The sum of the lines that have a price, as the list's prices are (with or without tax)."""
        return sum((line.cost for line in self.lines if line.cost is not None), NOTHING)

    @property
    def range(self) -> Cost | None:
        """Total for the low, likely and high quantities."""
        if self.prices is None or self.missing:
            return None
        return Cost(
            low=self.with_tax(self.priced.low),
            likely=self.with_tax(self.priced.likely),
            high=self.with_tax(self.priced.high),
        )

    @property
    def total(self) -> Decimal | None:
        return self.range.likely if self.range is not None else None

    @property
    def tax(self) -> Decimal:
        """Tax in ``priced.likely``, or to be added to it."""
        if self.prices is None:
            return Decimal(0)
        rate = self.prices.tax_percent / 100
        amount = self.priced.likely
        return self.prices.rounded(
            amount * rate / (1 + rate) if self.prices.prices_include_tax else amount * rate
        )

    def with_tax(self, amount: Decimal) -> Decimal:
        """What is paid for a sum of prices."""
        if self.prices is None or self.prices.prices_include_tax:
            return amount
        return amount + self.prices.rounded(amount * self.prices.tax_percent / 100)

    def line(self, item: str, of: str | None = None) -> Line | None:
        """The first line of an item, for those who look for one."""
        return next((one for one in self.lines if one.need.item == item and of in (None, one.need.of)), None)


def estimate(needs: Sequence[Need], prices: PriceList | None) -> Estimate:
    """Price every need. Without a list every price is missing; a need of nothing is no line."""
    wanted = [need for need in needs if need.quantity.high > 0]
    return Estimate(
        prices=prices,
        lines=tuple(_line(need, prices) for need in wanted),
        left_out=_left_out(prices),
    )


def _line(need: Need, prices: PriceList | None) -> Line:
    offers = prices.offers_for(need) if prices is not None else ()
    if prices is None or not offers:
        return Line(need=need, bought=(), cost=None)
    quantity = need.quantity
    bought = {
        amount: cheapest(need, amount, offers) for amount in (quantity.low, quantity.likely, quantity.high)
    }
    costs = {
        amount: prices.rounded(sum((one.cost for one in packs), Decimal(0)))
        for amount, packs in bought.items()
    }
    return Line(
        need=need,
        bought=bought[quantity.likely],
        cost=Cost(low=costs[quantity.low], likely=costs[quantity.likely], high=costs[quantity.high]),
    )


def _left_out(prices: PriceList | None) -> tuple[str, ...]:
    if prices is not None and not prices.labour.given:
        return (_("Labour is not included: the price list gives no minutes under labour."),)
    return ()
