"""Which tins to buy: the cheapest set that holds enough, found exactly."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, gcd

LARGEST_ML = 5_000_000
"""5000 litres; more is not a slat wall."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tins:
    """counts : tins by size [ml], largest first; none where it is drawn by measure.

    cost : None when a size has no price.
    """

    counts: tuple[tuple[int, int], ...]
    volume_ml: int
    wanted_ml: int
    cost: Decimal | None

    @property
    def words(self) -> str:
        """``2 × 2.5 l + 1 × 750 ml``, ``3.2 l by measure``."""
        if not self.counts:
            return f"{size_words(self.volume_ml)} by measure" if self.volume_ml else "none"
        return " + ".join(f"{count} × {size_words(size)}" for size, count in self.counts)


def size_words(size_ml: int) -> str:
    """``750 ml``, ``2.5 l``."""
    return f"{size_ml / 1000:g} l" if size_ml >= 1000 else f"{size_ml} ml"


def least_cost(wanted_ml: float, sizes: Mapping[int, Decimal | None]) -> Tins:
    """The tins that hold at least ``wanted_ml`` for the least money.

    sizes : price by size [ml]. Ties, and every case in which a price is missing, go to the least volume and
    then to the fewest tins. Exact: dynamic programming over the common measure of the sizes.
    Raises ValueError for a negative or absurd volume, no sizes, or a price below 0.
    """
    if not 0 <= wanted_ml <= LARGEST_ML:
        raise ValueError(f"wanted_ml is {wanted_ml:g}; it must lie from 0 to {LARGEST_ML}")
    if not sizes or any(size <= 0 for size in sizes):
        raise ValueError("sizes: at least one tin size above 0 ml is needed")
    prices = list(sizes.values())
    if any(price is not None and price < 0 for price in prices):
        raise ValueError("sizes: a price is below 0")
    known = all(price is not None for price in prices)
    unit = gcd(*sizes)
    need = ceil(ceil(wanted_ml) / unit)
    steps = [
        (size // unit, sizes[size] or Decimal(0) if known else Decimal(0), size) for size in sorted(sizes)
    ]
    # best[v]: (cost, volume in units, tins, the last tin's size) that covers v units
    best: list[tuple[Decimal, int, int, int]] = [(Decimal(0), 0, 0, 0)]
    for volume in range(1, need + 1):
        options = []
        for step, price, size in steps:
            cost, held, count, _ = best[max(0, volume - step)]
            options.append((cost + price, held + step, count + 1, size))
        best.append(min(options))
    counts: dict[int, int] = {}
    rest = need
    while rest > 0:
        size = best[rest][3]
        counts[size] = counts.get(size, 0) + 1
        rest -= size // unit
    ordered = tuple(sorted(counts.items(), reverse=True))
    total = sum((sizes[size] or Decimal(0)) * count for size, count in ordered) if known else None
    return Tins(
        counts=ordered,
        volume_ml=sum(size * count for size, count in ordered),
        wanted_ml=ceil(wanted_ml),
        cost=Decimal(total) if total is not None else None,
    )
