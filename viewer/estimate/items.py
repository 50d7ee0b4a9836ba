"""What can stand on an estimate: one word an item, the unit it is counted in, and its name for people."""

from dataclasses import dataclass
from gettext import gettext as _
from typing import Literal

Unit = Literal["piece", "m", "m2", "l", "hour"]
Stage = Literal["timber", "boards", "backing", "finish", "fixing", "labour", "ready"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """``stage`` says what the item belongs to, so that a comparison can leave a whole stage out."""

    unit: Unit
    stage: Stage
    words: str


def _item(unit: Unit, stage: Stage, words: str) -> Item:
    return Item(unit=unit, stage=stage, words=words)


ITEMS = {
    "section": _item("piece", "timber", _("Sawn timber")),
    "small_strip": _item("m", "timber", _("Strips that no offcut gives")),
    "test_strip": _item("m", "timber", _("Test strips")),
    "sheet": _item("piece", "boards", _("Backing board")),
    "black_paint": _item("l", "boards", _("Black paint for edges and shadow gaps")),
    "fabric": _item("m", "backing", _("Backing fabric")),
    "backing_paint": _item("l", "backing", _("Backing paint")),
    "staples": _item("piece", "backing", _("Staples")),
    "glue": _item("l", "backing", _("Fabric glue")),
    "tape": _item("m", "backing", _("Black tape over board joints")),
    "stain": _item("l", "finish", _("Stain")),
    "topcoat": _item("l", "finish", _("Topcoat")),
    "discs": _item("piece", "finish", _("Abrasive discs")),
    "pins": _item("piece", "boards", _("Pins")),
    "screws": _item("piece", "fixing", _("Screws")),
    "plugs": _item("piece", "fixing", _("Plugs")),
    "packers": _item("piece", "fixing", _("Packers")),
    "ledger": _item("m", "fixing", _("Ledger")),
    "labour": _item("hour", "labour", _("Labour")),
    "ready_strip": _item("piece", "ready", _("Ready-cut strips")),
    "ready_panel": _item("m2", "ready", _("Ready-made panels")),
}
