"""Reading a price list from TOML or CSV. All problems at once, each with its line and column; or a list.

TOML::

    format = 1
    currency = "EUR"
    tax_percent = 20
    [labour]                 # minutes
    per_panel = 45
    [[price]]
    item = "section"
    of = "47 x 100 Scots pine"
    per = "m"
    price = "4.20"

CSV is the same as a table: settings first, a name and a value a line (``currency,EUR`` or
``labour.per_panel,45``), then a heading ``item,of,per,pack,length_mm,price,supplier,class`` and a line a
price. Cells may be parted by commas, semicolons or tabs. An empty price means that there is none yet.
"""

import csv
import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from io import StringIO
from typing import Any

from viewer.estimate.accepting import Cell, price_list_of
from viewer.estimate.prices import PriceList, PriceListError

COLUMNS = ("item", "of", "per", "pack", "length_mm", "price", "supplier", "class")
LARGEST = 2_000_000
"""Characters; a longer file is no price list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """What a file holds before anything is judged: settings by dotted name, and a mapping a price."""

    settings: Mapping[str, Cell]
    rows: tuple[Mapping[str, Cell], ...]


def read_prices(text: str, *, file_name: str) -> PriceList:
    """A price list from the text of a ``.toml`` or ``.csv`` file. Raises PriceListError."""
    if len(text) > LARGEST:
        raise PriceListError([(file_name, f"is longer than {LARGEST} characters")])
    text = text.removeprefix("\ufeff")
    if file_name.lower().endswith(".toml"):
        sheet = _toml(text, file_name)
    elif file_name.lower().endswith(".csv"):
        sheet = _csv(text, file_name)
    else:
        raise PriceListError([(file_name, "is neither .toml nor .csv")])
    return price_list_of(sheet.settings, sheet.rows, file_name)


def _toml(text: str, file_name: str) -> Sheet:
    try:
        data = tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        place = re.search(r"\(at (.*)\)$", str(error))
        where = f"{file_name}, {place[1]}" if place else file_name
        raise PriceListError(
            [(where, "is not TOML; numbers are written like 12.50 and words in quotes")]
        ) from None
    settings: dict[str, Cell] = {}
    lines = text.splitlines()
    for key, value in data.items():
        if isinstance(value, dict):
            for name, inner in value.items():
                settings[f"{key}.{name}"] = Cell(inner, f"{key}.{name}")
        elif key != "price":
            settings[key] = Cell(value, key)
    prices = data.get("price", [])
    if not isinstance(prices, list) or not all(isinstance(row, dict) for row in prices):
        raise PriceListError([("price", "each price is a block that starts with [[price]]")])
    rows = tuple(
        {key: Cell(value, _toml_place(lines, number, key)) for key, value in row.items()}
        for number, row in enumerate(prices)
    )
    return Sheet(settings=settings, rows=rows)


def _toml_place(lines: list[str], number: int, key: str) -> str:
    """``price[2].pack (line 14, column 8)``; without the line where the block is written inline."""
    block = -1
    for line, content in enumerate(lines, start=1):
        block += re.match(r"\s*\[\[\s*price\s*\]\]", content) is not None
        found = re.match(rf"\s*{re.escape(key)}\s*=\s*", content)
        if block == number and found:
            return f"price[{number}].{key} (line {line}, column {found.end() + 1})"
    return f"price[{number}].{key}"


def _csv(text: str, file_name: str) -> Sheet:
    heading_line = next((line for line in text.splitlines() if re.match(r'\s*"?item"?\s*[,;\t]', line)), None)
    if heading_line is None:
        raise PriceListError([(file_name, f"has no heading; expected the line {','.join(COLUMNS)}")])
    delimiter = max(",;\t", key=heading_line.count)
    settings: dict[str, Cell] = {}
    rows: list[Mapping[str, Cell]] = []
    problems: list[tuple[str, str]] = []
    heading: list[str] | None = None
    # every way to end a line is one, a lone carriage return of old machines included
    reader = csv.reader(StringIO("\n".join(text.splitlines())), delimiter=delimiter)
    before = 0
    for cells in _read(reader):
        line, before = before + 1, reader.line_num
        values = [cell.strip() for cell in cells]
        if not any(values):
            continue
        if heading is None and values[0] == "item":
            heading = values
        elif any(values[len(heading) if heading else 2 :]):
            expected = f"under {len(heading)} headings" if heading else "where a setting has two"
            message = f"has {len(values)} cells {expected}; write 12.50, or put 12,50 in quotes"
            problems.append((f"line {line}", message))
        elif heading is None:
            settings[values[0]] = Cell(next(iter(values[1:]), ""), f"line {line}, column 2 ({values[0]})")
        else:
            rows.append(
                {
                    name: Cell(value, f"line {line}, column {number} ({name})")
                    for number, (name, value) in enumerate(zip(heading, values, strict=False), start=1)
                    if value
                }
                | {"": Cell(line, f"line {line}")}
            )
    if problems:
        raise PriceListError(problems)
    return Sheet(settings=settings, rows=tuple(rows))


def _read(reader: Any) -> Iterator[list[str]]:
    """The rows of a reader; what it cannot part into cells is refused by its line."""
    try:
        yield from reader
    except csv.Error as error:
        raise PriceListError([(f"line {reader.line_num}", f"cannot be read as cells: {error}")]) from None


def template(needs: tuple[Any, ...]) -> str:
    """A CSV to fill in: every need with its name and an empty price."""
    out = StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["currency", "EUR"])
    writer.writerow(["tax_percent", "0"])
    writer.writerow(COLUMNS)
    for need in needs:
        length = f"{need.length_mm:f}" if need.length_mm is not None else ""
        writer.writerow([need.item, need.of, need.unit, "", length, "", "", ""])
    return out.getvalue()
