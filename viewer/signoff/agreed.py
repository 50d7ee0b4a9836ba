"""What a signature fixes, as facts with tolerances, and what a change of the job means for it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from gettext import gettext as _
from typing import Annotated, Any

from pydantic import Field

from meshes.layout.lengths import Value, Within, rounded_mm

Tolerance = Annotated[Fraction, Within(0, 100)]


class Tolerances(Value):
    """How far the built wall may differ from the signed one. The price has none: it is fixed."""

    gap_mm: Tolerance = Fraction(1)
    slat_mm: Tolerance = Fraction(3, 2)
    count: Annotated[int, Field(ge=0, le=20)] = 1
    ends_mm: Tolerance = Fraction(5)
    openings_mm: Tolerance = Fraction(5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One agreed thing. ``value`` is a length or count with a tolerance, or words that must stay the same."""

    name: str
    words: str
    value: Fraction | str
    unit: str
    tolerance: Fraction | None

    def as_json(self) -> dict[str, Any]:
        """The fact as it stands in the record; lengths exactly, as fractions."""
        exact = isinstance(self.value, Fraction)
        return {
            "name": self.name,
            "words": self.words,
            "value": str(self.value),
            "kind": "number" if exact else "words",
            "unit": self.unit,
            "tolerance": None if self.tolerance is None else str(self.tolerance),
        }


def fact_from_json(data: Mapping[str, Any]) -> Fact:
    """The fact of a record. Raises ``KeyError`` or ``ValueError`` for data that ``as_json`` did not write."""
    tolerance = data["tolerance"]
    return Fact(
        name=data["name"],
        words=data["words"],
        value=Fraction(data["value"]) if data["kind"] == "number" else data["value"],
        unit=data["unit"],
        tolerance=None if tolerance is None else Fraction(tolerance),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One fact that moved. ``within``: inside what was agreed, to be recorded as built."""

    name: str
    within: bool
    sentence: str


def changes(signed: Sequence[Fact], now: Sequence[Fact]) -> tuple[Change, ...]:
    """What moved since the signature, outside the tolerance first; facts that came or went are outside."""
    current = {fact.name: fact for fact in now}
    found = []
    for fact in signed:
        other = current.pop(fact.name, None)
        if other is None:
            found.append(
                Change(
                    name=fact.name,
                    within=False,
                    sentence=_("{what}: {was}, now gone").format(what=fact.words, was=_shown(fact)),
                )
            )
        elif other.value != fact.value:
            found.append(_moved(fact, other))
    for fact in current.values():
        found.append(
            Change(
                name=fact.name,
                within=False,
                sentence=_("{what}: {now}, not in what was signed").format(what=fact.words, now=_shown(fact)),
            )
        )
    return tuple(sorted(found, key=lambda change: change.within))


def _moved(fact: Fact, other: Fact) -> Change:
    match fact.value, other.value, fact.tolerance:
        case Fraction() as was, Fraction() as now, Fraction() as tolerance:
            within = abs(now - was) <= tolerance
            agreed = (
                _("agreed ± {tolerance}").format(tolerance=_number(tolerance))
                if tolerance
                else _("agreed as fixed")
            )
        case _:
            within, agreed = False, _("agreed as it was")
    sentence = _("{what} {was} → {now}{unit} ({agreed})").format(
        what=fact.words,
        was=_plain(fact),
        now=_plain(other),
        unit=f" {fact.unit}" if fact.unit else "",
        agreed=agreed,
    )
    return Change(name=fact.name, within=within, sentence=sentence)


def _number(value: Fraction) -> str:
    return str(rounded_mm(value))


def _plain(fact: Fact) -> str:
    return _number(fact.value) if isinstance(fact.value, Fraction) else fact.value


def _shown(fact: Fact) -> str:
    return f"{_plain(fact)} {fact.unit}".rstrip()
