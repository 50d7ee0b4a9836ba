"""Judging the cells of a price list: what each may hold, in words, and the list that they make together."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from decimal import Decimal
from difflib import get_close_matches
from typing import Any, cast, get_args

from viewer.estimate.items import ITEMS, Unit
from viewer.estimate.practice import Labour, Practice
from viewer.estimate.prices import FORMAT, TIMBER_CLASSES, Offer, PriceList, PriceListError, TimberClass

BY_LENGTH = ("section", "ready_strip")
"""Items with a length, which may be priced by the metre too."""
MOST = Decimal(10_000_000)
SETTINGS = ("format", "name", "currency", "tax_percent", "prices_include_tax", "round_to")
FIELDS = ("item", "of", "per", "pack", "length_mm", "price", "supplier", "class")


@dataclass(frozen=True, slots=True)
class Cell:
    """A value as it was written, and where: ``line 5, column 6 (price)`` or ``price[3].price``."""

    value: Any
    where: str


class _Judge:
    """Collects problems; a value that is one is given as None and never reaches the list."""

    def __init__(self) -> None:
        self.problems: list[tuple[str, str]] = []

    def refuse(self, where: str, message: str) -> None:
        self.problems.append((where, message))

    def amount(self, cell: Cell, *, low: Decimal = Decimal(0), above: bool = False) -> Decimal | None:
        """A number as written by people: digits with one decimal point, or a decimal comma and 1-2 digits."""
        value = cell.value
        written = str(value).strip()
        plain_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
        if not plain_number and (
            not isinstance(value, str) or not re.fullmatch(r"-?\d+(\.\d+|,\d{1,2})?", written)
        ):
            self.refuse(
                cell.where, f'"{written}" is no amount; write digits with one decimal point, like 12.50'
            )
            return None
        number = Decimal(written.replace(",", "."))
        if not number.is_finite() or number > MOST or number < low or (above and number == low):
            lowest = f"more than {low}" if above else f"{low}"
            self.refuse(cell.where, f"{written} is outside what is accepted: {lowest} to {MOST}")
            return None
        return number

    def text(self, cell: Cell | None) -> str:
        if cell is None:
            return ""
        if not isinstance(cell.value, str):
            self.refuse(cell.where, f"{cell.value} is no text; put it in quotes")
            return ""
        return cell.value.strip()

    def word(self, cell: Cell, accepted: Sequence[str]) -> str | None:
        written = self.text(cell)
        if written in accepted:
            return written
        self.refuse(cell.where, f'"{written}" is not known; {_nearest(written, accepted)}')
        return None

    def flag(self, cell: Cell) -> bool:
        written = str(cell.value).strip().lower()
        if written not in ("true", "false", "yes", "no"):
            self.refuse(cell.where, f'"{cell.value}" is neither true nor false')
        return written in ("true", "yes")


def _nearest(written: str, accepted: Sequence[str]) -> str:
    close = get_close_matches(written, accepted, n=1)
    return f'did you mean "{close[0]}"?' if close else f"accepted: {', '.join(accepted)}"


def price_list_of(
    settings: Mapping[str, Cell], rows: Sequence[Mapping[str, Cell]], file_name: str
) -> PriceList:
    """The list, or PriceListError with every problem in it."""
    judge = _Judge()
    _known_settings(judge, settings)
    offers = [offer for number, row in enumerate(rows) if (offer := _offer(judge, number, row)) is not None]
    tax = _setting(judge, settings, "tax_percent", lambda cell: _at_most(judge, cell, Decimal(100)))
    round_to = _setting(judge, settings, "round_to", lambda cell: judge.amount(cell, above=True))
    labour = _figures(judge, settings, "labour")
    practice = _figures(judge, settings, "practice")
    name = judge.text(settings.get("name")) or file_name
    currency = _currency(judge, settings)
    include = "prices_include_tax" in settings and judge.flag(settings["prices_include_tax"])
    if judge.problems:
        raise PriceListError(judge.problems)
    return PriceList(
        name=name,
        currency=currency,
        tax_percent=tax if tax is not None else Decimal(0),
        prices_include_tax=include,
        round_to=round_to if round_to is not None else Decimal("0.01"),
        offers=tuple(offers),
        labour=Labour(**labour),
        practice=Practice(**practice),
    )


def _known_settings(judge: _Judge, settings: Mapping[str, Cell]) -> None:
    tables = {"labour": Labour, "practice": Practice}
    known = [*SETTINGS, *(f"{table}.{one.name}" for table, kind in tables.items() for one in fields(kind))]
    for key, cell in settings.items():
        if key not in known and not key.startswith("_"):
            judge.refuse(cell.where, f'"{key}" is not known; {_nearest(key, known)}')
    version = settings.get("format")
    if version is not None:
        number = judge.amount(version)
        if number is not None and number > FORMAT:
            judge.refuse(version.where, f"format {number} is newer than this program reads ({FORMAT})")


def _setting(
    judge: _Judge, settings: Mapping[str, Cell], key: str, accept: Callable[[Cell], Decimal | None]
) -> Decimal | None:
    return accept(settings[key]) if key in settings else None


def _at_most(judge: _Judge, cell: Cell, most: Decimal) -> Decimal | None:
    number = judge.amount(cell)
    if number is not None and number > most:
        judge.refuse(cell.where, f"{number} is outside what is accepted: 0 to {most}")
        return None
    return number


def _currency(judge: _Judge, settings: Mapping[str, Cell]) -> str:
    cell = settings.get("currency")
    written = judge.text(cell)
    if not re.fullmatch(r"[A-Z]{3}", written):
        judge.refuse(cell.where if cell else "currency", "is needed: three capital letters, like EUR")
    return written


def _figures(judge: _Judge, settings: Mapping[str, Cell], table: str) -> dict[str, Decimal]:
    found = {}
    spacing = ("_mm", "_l", "_low", "_high")
    for key, cell in settings.items():
        name = key.removeprefix(f"{table}.")
        if name != key and (number := judge.amount(cell, above=name.endswith(spacing))) is not None:
            found[name] = number
    known = {one.name for one in fields(Labour if table == "labour" else Practice)}
    return {name: number for name, number in found.items() if name in known}


def _offer(judge: _Judge, number: int, row: Mapping[str, Cell]) -> Offer | None:
    where = row[""].where if "" in row else f"price[{number}]"
    for key, cell in row.items():
        if key and key not in FIELDS and not key.startswith("_"):
            judge.refuse(cell.where, f'"{key}" is not known; {_nearest(key, FIELDS)}')
    if "item" not in row:
        judge.refuse(where, f"has no item; accepted: {', '.join(ITEMS)}")
        return None
    item = judge.word(row["item"], tuple(ITEMS))
    pack = judge.amount(row["pack"], above=True) if "pack" in row else None
    length = judge.amount(row["length_mm"], above=True) if "length_mm" in row else None
    price = judge.amount(row["price"]) if "price" in row and row["price"].value != "" else None
    timber_class = judge.word(row["class"], TIMBER_CLASSES) if "class" in row else None
    of, supplier = judge.text(row.get("of")), judge.text(row.get("supplier"))
    if re.fullmatch(r"[\d.,]+", supplier):
        # a decimal comma that was not quoted pushes the rest of its line one cell to the right
        message = (
            f'"{supplier}" is no supplier; is an amount on this line written with a comma but no quotes?'
        )
        judge.refuse(row["supplier"].where, message)
    if item is None:
        return None
    if length is not None and item not in BY_LENGTH:
        judge.refuse(row["length_mm"].where, f"{item} has no length; only {', '.join(BY_LENGTH)} have")
    own = ITEMS[item].unit
    accepted = (own, "m") if item in BY_LENGTH else (own,)
    per = judge.word(row["per"], accepted) if "per" in row else own
    if per == "piece" and pack is not None and pack != pack.to_integral_value():
        judge.refuse(row["pack"].where, f"{pack} is no whole number of pieces")
    if per is None or price is None:
        return None
    assert per in get_args(Unit)
    return Offer(
        item=item,
        of=of,
        per=cast(Unit, per),
        pack=pack,
        length_mm=length,
        price=price,
        supplier=supplier,
        timber_class=cast("TimberClass | None", timber_class),
    )
