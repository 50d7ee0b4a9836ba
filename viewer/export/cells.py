"""Tables of plain cells as CSV (RFC 4180) and XLSX: safe to open in a spreadsheet, the same at every run."""

import csv
import io
import re
import zipfile
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from openpyxl import Workbook
from openpyxl.styles import Alignment, Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

Cell = str | int | float | Decimal | None

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
"""What a spreadsheet takes for the start of a formula (OWASP, CSV injection)."""

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first moment that a zip archive can state: archives carry no other, so that equal content is equal."""

WIDEST = 60
"""Signs in a column before its words wrap."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """``name`` is its file or sheet name; ``head`` names the columns, with their unit once."""

    name: str
    head: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]


def inert(words: str) -> str:
    """Words that no spreadsheet takes for a formula: an apostrophe is put before what could be one."""
    return f"'{words}" if words.startswith(FORMULA_SIGNS) else words


def csv_bytes(table: Table) -> bytes:
    """The table as CSV in UTF-8 with its byte-order mark, which spreadsheets need to read × and –."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow([inert(word) for word in table.head])
    writer.writerows([_plain(cell) for cell in row] for row in table.rows)
    return text.getvalue().encode("utf-8-sig")


def _plain(cell: Cell) -> str | int | float:
    if cell is None:
        return ""
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    return inert(cell) if isinstance(cell, str) else cell


def xlsx_bytes(tables: Sequence[Table], *, title: str) -> bytes:
    """The tables as one workbook, a sheet each: bold heads that stay in view, numbers as numbers."""
    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.title = inert(title)
    book.properties.creator = "slatwright"
    for table in tables:
        _sheet(book.create_sheet(table.name), table)
    packed = io.BytesIO()
    book.save(packed)
    return _timeless(packed.getvalue())


def _sheet(sheet: Worksheet, table: Table) -> None:
    for number, row in enumerate((table.head, *table.rows), start=1):
        for column, value in enumerate(row, start=1):
            if value is None:
                continue
            cell = sheet.cell(row=number, column=column)
            cell.value = value
            if isinstance(value, str):
                # openpyxl would make a formula of "=…"; these are always words
                cell.data_type = "s"
                cell.alignment = Alignment(wrap_text=True, vertical="top")
            if number == 1:
                cell.font = Font(bold=True)
    sheet.freeze_panes = "A2"
    for column in range(1, len(table.head) + 1):
        longest = max(len(str(row[column - 1] or "")) for row in (table.head, *table.rows))
        sheet.column_dimensions[get_column_letter(column)].width = min(WIDEST, longest + 2)
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True


def _timeless(workbook: bytes) -> bytes:
    """The same archive without the moments that its writer put in."""
    done = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(workbook)) as old, zipfile.ZipFile(done, "w") as new:
        for name in sorted(old.namelist(), key=lambda one: (one != "[Content_Types].xml", one)):
            data = old.read(name)
            if name == "docProps/core.xml":
                data = re.sub(rb"<dcterms:(created|modified)[^>]*>[^<]*</dcterms:\1>", b"", data)
            entry = zipfile.ZipInfo(name, EARLIEST)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            new.writestr(entry, data)
    return done.getvalue()
