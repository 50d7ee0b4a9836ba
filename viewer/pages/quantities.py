"""What a finish takes, as rows that a person reads before going to the shop."""

from collections.abc import Mapping
from dataclasses import dataclass
from gettext import gettext as _
from gettext import ngettext
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One reading: what, how much, in which unit, and a note in words."""

    what: str
    amount: str
    unit: str = ""
    note: str = ""


def quantity_rows(taken: Mapping[str, Any]) -> list[Row]:
    """Rows from what ``slatwright take-off`` prints."""
    rows = []
    for kind, what in (
        ("stain", _("Stain")),
        ("topcoat", _("Topcoat")),
        ("backing_paint", _("Backing paint")),
    ):
        product = taken[kind]
        if product["name"]:
            rows.append(
                Row(
                    what=f"{what}: {product['name']}",
                    amount=f"{product['to_buy_litres']:.1f}",
                    unit="l",
                    note=_tins(product["tins"]),
                )
            )
    cloth = taken["fabric"]
    if cloth["name"]:
        rows.append(Row(what=f"{_('Fabric')}: {cloth['name']}", amount=f"{cloth['metres']:.1f}", unit="m"))
    rows += _timber(taken["stock"]) + _boards(taken["sheets"])
    return rows


def _tins(tins: list[Mapping[str, Any]]) -> str:
    """``1 × 1 l, 1 × 250 ml``; no tin breaks over two lines."""
    return ", ".join(
        f"{tin['count']}\u00a0×\u00a0{tin['size_ml'] / 1000:g}\u00a0l"
        if tin["size_ml"] >= 1000
        else f"{tin['count']}\u00a0×\u00a0{tin['size_ml']}\u00a0ml"
        for tin in tins
    )


def _timber(stock: Mapping[str, Any]) -> list[Row]:
    """One row a length on sale."""
    section = " × ".join(f"{side:g}" for side in stock.get("section_mm", ()))
    return [
        Row(
            what=_("Timber {section} mm").format(section=section),
            amount=f"{part['count']} × {part['length_mm']}",
            unit="mm",
            note=_how_good(stock) if number == 0 else "",
        )
        for number, part in enumerate(stock.get("sections", ()))
    ]


def _how_good(stock: Mapping[str, Any]) -> str:
    """What is known of the cutting plan: proven, or how far it may be from the least."""
    if stock["proven"]:
        return _("the least possible")
    return _("at most {share} % over the least possible").format(share=f"{100 * stock['gap_share']:.1f}")


def _boards(sheets: Mapping[str, Any]) -> list[Row]:
    """Sheets for the panels."""
    if "count" not in sheets:
        return []
    size = " × ".join(f"{side:g}" for side in (*sheets["sheet_mm"], sheets["thickness_mm"]))
    return [board_row(size, sheets["count"], sheets["proven"], sheets["bound"])]


def board_row(size: str, count: int, proven: bool, bound: int) -> Row:
    """Sheets to buy, and what is known of how few they could be."""
    return Row(
        what=_("Board {size} mm").format(size=size),
        amount=str(count),
        unit=ngettext("sheet", "sheets", count),
        note=_("the fewest possible") if proven else _("at least {n} are needed").format(n=bound),
    )
