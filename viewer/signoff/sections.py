"""What goes into the record: plain sections, and the personal values that stay outside them.

A job's name, its notes (keys that start with ``_``) and the names of people who answer for a fixing may say
who lives where. They enter as salted hashes like the client's own name.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from viewer.signoff.agreed import Fact
from viewer.signoff.offer import Choice, Offer
from viewer.signoff.personal import Personal, conceal


class Concealed:
    """Sections in the making: ``hide`` gives what stands in the chain, ``values`` what stays beside it."""

    def __init__(self) -> None:
        self._values: dict[str, Personal] = {}

    @property
    def values(self) -> tuple[Personal, ...]:
        return tuple(self._values.values())

    def hide(self, value: str) -> dict[str, str]:
        """The reference that stands for a value; the same value twice is one."""
        if value not in self._values:
            self._values[value] = conceal(value)
        return {"personal": self._values[value].reference}

    def job(self, document: Mapping[str, Any]) -> dict[str, Any]:
        """A job's document without its name, notes and people's names."""
        kept = {key: self._cleaned(value) for key, value in document.items() if not key.startswith("_")}
        if isinstance(document.get("name"), str):
            kept["name"] = self.hide(document["name"])
        return kept

    def _cleaned(self, value: Any) -> Any:
        if isinstance(value, Mapping):
            return {
                key: self.hide(item) if key == "by" and isinstance(item, str) else self._cleaned(item)
                for key, item in value.items()
                if not key.startswith("_")
            }
        if isinstance(value, list):
            return [self._cleaned(item) for item in value]
        return value


def offered(document: Mapping[str, Any], offer: Offer) -> tuple[dict[str, Any], tuple[Personal, ...]]:
    """Sections of an ``offer`` entry."""
    hidden = Concealed()
    return {"job": hidden.job(document), "offer": plain(offer)}, hidden.values


def signed(
    document: Mapping[str, Any],
    offer: Offer,
    choice: Choice,
    facts: Sequence[Fact],
    *,
    client: str,
    drawn: str | None,
    remarks: Sequence[str] = (),
) -> tuple[dict[str, Any], tuple[Personal, ...]]:
    """Sections of a ``signature`` or ``variation`` entry. ``drawn`` : base64 of a PNG."""
    hidden = Concealed()
    return {
        "job": hidden.job(document),
        "offer": plain(offer),
        "choice": choice.model_dump(mode="json"),
        "facts": [fact.as_json() for fact in facts],
        "client": {
            "name": hidden.hide(client),
            "drawn": hidden.hide(drawn) if drawn else None,
        },
        "remarks": [hidden.hide(words) for words in remarks],
    }, hidden.values


def plain(offer: Offer) -> dict[str, Any]:
    """An offer as JSON; lengths of tolerances as numbers."""
    return offer.model_dump(mode="json")
