"""Amounts with their range: what coverage finds, line by line, and what is bought for it."""

from dataclasses import dataclass

from finishes.tagged import Range
from finishes.tins import Tins


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """A quantity with its range, in the unit that the field's name gives."""

    low: float
    likely: float
    high: float

    def __add__(self, other: "Amount") -> "Amount":
        return Amount(
            low=self.low + other.low, likely=self.likely + other.likely, high=self.high + other.high
        )

    def scaled(self, factor: float) -> "Amount":
        return Amount(low=self.low * factor, likely=self.likely * factor, high=self.high * factor)


NOTHING = Amount(low=0.0, likely=0.0, high=0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One coat on one surface: ``litres = area / rate * share / (1 - loss)``; rate is the likely one."""

    surface: str
    texture: str
    coat: int
    area_m2: float
    rate_m2_per_l: Range
    share: float
    litres: Amount


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What one product takes: wall, samples, the pot kept for touch-up; tins to buy for the likely case."""

    name: str
    coats: int
    lines: tuple[Line, ...]
    litres: Amount
    samples_l: Amount
    touch_up_l: float
    to_buy_l: Amount
    parts: tuple["Part", ...]
    advice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing on the shelf: the product itself, or one of the two tones of an own tone; share 0..1."""

    name: str
    share: float
    litres: Amount
    tins: Tins


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """Stain, topcoat and backing paint of one finish; None where there is none of it."""

    stain: Product | None
    topcoat: Product | None
    backing_paint: Product | None
    notes: tuple[str, ...]

    @property
    def coats(self) -> int:
        """Coats of stain."""
        return self.stain.coats if self.stain else 0

    @property
    def litres(self) -> Amount:
        """Litres of stain on the wall, without samples and touch-up."""
        return self.stain.litres if self.stain else NOTHING

    @property
    def tins(self) -> tuple[Part, ...]:
        """Tins of stain to buy: one part, or two for an own tone."""
        return self.stain.parts if self.stain else ()
