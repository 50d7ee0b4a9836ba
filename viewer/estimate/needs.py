"""What must be bought, how much, and why: a need is the sum of its parts, each with a name."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal, Protocol

from viewer.estimate.items import ITEMS

Number = int | float | Decimal | Fraction


def decimal(value: Number) -> Decimal:
    """A quantity as Decimal, to a millionth of its unit; exact for what people write down."""
    if isinstance(value, Fraction):
        value = Decimal(value.numerator) / Decimal(value.denominator)
    return Decimal(str(value)).quantize(Decimal("0.000001")).normalize() + Decimal(0)


class Ranged(Protocol):
    """Anything with a low, a likely and a high value, such as the litres of a coat."""

    @property
    def low(self) -> float: ...
    @property
    def likely(self) -> float: ...
    @property
    def high(self) -> float: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """How much, in the item's unit: low <= likely <= high."""

    low: Decimal
    likely: Decimal
    high: Decimal

    @classmethod
    def exactly(cls, value: Number) -> "Quantity":
        amount = decimal(value)
        return cls(low=amount, likely=amount, high=amount)

    @classmethod
    def between(cls, low: Number, likely: Number, high: Number) -> "Quantity":
        return cls(low=decimal(low), likely=decimal(likely), high=decimal(high))

    @classmethod
    def of(cls, ranged: Ranged) -> "Quantity":
        return cls.between(ranged.low, ranged.likely, ranged.high)

    def __add__(self, other: "Quantity") -> "Quantity":
        return Quantity(
            low=self.low + other.low, likely=self.likely + other.likely, high=self.high + other.high
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One reason for a quantity: ``second coat``, ``spares``, ``joints``."""

    label: str
    quantity: Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """One thing to buy. ``of`` says which (a tone, a section); ``length_mm`` is set where pieces have one.

    ``drivers`` are the counts that it follows from (slats, panels), so that a change can be explained.
    ``grows``: whether more wall needs more of it; what does not grow is there from the first metre.
    """

    item: str
    of: str = ""
    length_mm: Decimal | None = None
    parts: tuple[Part, ...]
    note: str = ""
    drivers: tuple[tuple[str, Decimal], ...] = ()
    grows: bool = True

    @property
    def unit(self) -> Literal["piece", "m", "m2", "l", "hour"]:
        return ITEMS[self.item].unit

    @property
    def quantity(self) -> Quantity:
        total = Quantity.exactly(0)
        for part in self.parts:
            total += part.quantity
        return total

    @property
    def key(self) -> tuple[str, str, Decimal | None]:
        """What makes two needs of two estimates the same line."""
        return self.item, self.of, self.length_mm

    @property
    def name(self) -> str:
        """What to look for in a price list: ``section: 47 x 100 Scots pine, 2700 mm``."""
        name = f"{self.item}: {self.of}" if self.of else self.item
        return f"{name}, {self.length_mm:f} mm" if self.length_mm is not None else name
