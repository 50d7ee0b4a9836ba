"""The user's price list: what is on sale, in which packs, for how much; currency, tax and rounding stated."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

from viewer.estimate.items import Unit
from viewer.estimate.needs import Need
from viewer.estimate.practice import Labour, Practice

FORMAT = 1
TimberClass = Literal["softwood", "hardwood", "board"]
TIMBER_CLASSES: tuple[TimberClass, ...] = ("softwood", "hardwood", "board")


class PriceListError(ValueError):
    """A price list that cannot be used; ``problems`` are (where, message) pairs. Nothing of it was kept."""

    def __init__(self, problems: Sequence[tuple[str, str]]) -> None:
        super().__init__("; ".join(f"{where}: {message}" for where, message in problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """One price. ``pack`` is how much one price buys, in ``per``; None: any amount, pieces one by one.

    ``of`` empty fits anything of its kind; ``length_mm`` None fits any length (priced by the metre).
    """

    item: str
    of: str
    per: Unit
    pack: Decimal | None
    length_mm: Decimal | None
    price: Decimal
    supplier: str
    timber_class: TimberClass | None = None

    def fits(self, need: Need) -> bool:
        """Whether this price can serve the need."""
        if self.item != need.item or (self.of and plain(self.of) != plain(need.of)):
            return False
        if self.per != need.unit:
            return self.per == "m" and need.length_mm is not None
        return self.length_mm is None or self.length_mm == need.length_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceList:
    """Prices are net of ``tax_percent`` unless ``prices_include_tax``; sums are rounded to ``round_to``."""

    name: str
    currency: str
    tax_percent: Decimal
    prices_include_tax: bool
    round_to: Decimal
    offers: tuple[Offer, ...]
    labour: Labour
    practice: Practice

    def rounded(self, amount: Decimal) -> Decimal:
        """To the nearest multiple of ``round_to``, halves away from zero."""
        steps = (amount / self.round_to).quantize(Decimal(1), rounding=ROUND_HALF_UP)
        return (steps * self.round_to).quantize(self.round_to)

    def offers_for(self, need: Need) -> tuple[Offer, ...]:
        """Every price that fits; those that name exactly what is needed hide those that fit anything."""
        fitting = [offer for offer in self.offers if offer.fits(need)]
        exact = [offer for offer in fitting if offer.of]
        return tuple(exact or fitting)


def plain(words: str) -> str:
    """Names compared without regard to case, spaces or the sign between two sizes."""
    return "".join(words.casefold().replace("×", "x").split())
