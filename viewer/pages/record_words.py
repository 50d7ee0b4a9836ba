"""The record in words: one row a stage, for the maker's pages and the sheet."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from gettext import gettext as _
from typing import Any

from viewer.local_time import local_day
from viewer.signoff.chain import Entry
from viewer.signoff.personal import Personal


@dataclass(frozen=True, slots=True, kw_only=True)
class StageRow:
    """One entry: when, what, and its particulars; ``superseded`` where a later one replaces it."""

    place: int
    stage: str
    day: str
    what: str
    words: str
    superseded: bool


def stage_names() -> dict[str, str]:
    """Stages as people read them."""
    return {
        "offer": _("offer"),
        "signature": _("signed"),
        "deposit": _("deposit noted"),
        "remeasure": _("measured again"),
        "variation": _("variation signed"),
        "handover": _("handed over"),
        "withdrawn": _("withdrawn"),
    }


def stage_rows(entries: Sequence[Entry], personal: Mapping[str, Personal]) -> list[StageRow]:
    """Every entry of a record, oldest first."""
    gone = {entry.supersedes for entry in entries}
    return [
        StageRow(
            place=entry.place,
            stage=entry.stage,
            day=local_day(entry.at),
            what=stage_names()[entry.stage],
            words=_particulars(entry, personal),
            superseded=entry.place in gone,
        )
        for entry in entries
    ]


def shown_name(value: Any, personal: Mapping[str, Personal]) -> str:
    """A personal value by its reference; what was erased is said to be."""
    reference = value.get("personal") if isinstance(value, Mapping) else None
    one = personal.get(str(reference))
    return one.value if one else _("(erased)")


def _particulars(entry: Entry, personal: Mapping[str, Personal]) -> str:
    sections = entry.sections
    if entry.stage in ("signature", "variation"):
        choice, price = sections["choice"], sections["offer"]["price"]
        return _("{finish}, off-cut {off_cut}, {price}by {name}{paper}").format(
            price=f"{price['amount']} {price['currency']}, " if price else "",
            finish=choice["finish"],
            off_cut=choice["off_cut"],
            name=shown_name(sections["client"]["name"], personal),
            paper=_(", on paper") if choice.get("paper") else "",
        )
    if entry.stage == "offer":
        return ", ".join(sections["offer"]["finishes"])
    noted = sections.get("noted", {})
    parts = [str(noted[key]) for key in ("amount", "words") if noted.get(key)]
    parts += [sentence for sentence in noted.get("as_built", [])]
    if noted.get("snags"):
        parts.append(_("snags: {list}").format(list="; ".join(noted["snags"])))
    if "name" in sections.get("client", {}):
        parts.append(_("by {name}").format(name=shown_name(sections["client"]["name"], personal)))
    return ", ".join(parts)
