"""Form fields for places in the job file: what was typed comes back, problems stand at their field.

A length may be typed in millimetres or in feet and inches with fractions (``7' 10 1/2"``). The millimetres go
into the job, what was typed beside them under ``_typed``.
"""

import re
from collections.abc import Iterable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from meshes.layout.lengths import exact, rounded_mm
from meshes.layout.rod import MM_PER_INCH

TYPED = "_typed"
"""Key of the job document that keeps what was typed in another unit, by path. Keys with _ are ignored."""

Problem = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of a form: a choice with ``choices`` (value, words), a length with ``unit``, else words."""

    path: str
    label: str
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    hint: str = ""


_INCHES = re.compile(
    r"""^\s*(?:(?P<feet>\d+)\s*['′])?\s*
    (?:(?P<whole>\d+(?:\.\d+)?)?\s*-?\s*(?:(?P<top>\d+)\s*[/⁄]\s*(?P<bottom>\d+))?\s*(?P<mark>["″]|in)?)?\s*$""",
    re.VERBOSE,
)


def length_mm(typed: str) -> Fraction | None:
    """Millimetres of what was typed, exactly; None where it is no length.

    A bare number is millimetres; a foot or inch mark, or a fraction, makes it inches.
    """
    text = typed.strip().replace(",", ".").removesuffix("mm").strip()
    if re.fullmatch(r"-?\d+(\.\d+)?", text):
        return Fraction(text)
    found = _INCHES.match(text)
    if not found or not any(found.group("feet", "whole", "top")):
        return None
    if found["bottom"] and int(found["bottom"]) == 0:
        return None
    inches = Fraction(int(found["feet"] or 0) * 12) + Fraction(found["whole"] or 0)
    if found["top"]:
        inches += Fraction(int(found["top"]), int(found["bottom"]))
    return inches * MM_PER_INCH


def value_at(document: Any, path: str) -> Any:
    """The value at a path such as ``openings[0].left_mm``; None where there is none."""
    for key in _keys(path):
        try:
            document = document[key]
        except (KeyError, IndexError, TypeError):
            return None
    return document


def put_at(document: dict[str, Any], path: str, value: Any) -> None:
    """Write a value at a path, making the objects on the way; lists must be long enough."""
    *way, last = _keys(path)
    place: Any = document
    for key in way:
        if isinstance(place, dict) and not isinstance(place.get(key), dict | list):
            place[key] = {}
        place = place[key]
    place[last] = value


def _keys(path: str) -> list[str | int]:
    return [int(key) if key.isdecimal() else key for key in re.findall(r"[^.\[\]]+", path)]


def document_with(
    document: Mapping[str, Any], fields: Iterable[Field], typed: Mapping[str, str]
) -> dict[str, Any]:
    """The document with what was typed; a length that is none goes in as typed, for the check to refuse."""
    made = deepcopy(dict(document))
    kept = dict(made.get(TYPED) or {})
    for field in fields:
        if field.path not in typed:
            continue
        text = typed[field.path].strip()
        kept.pop(field.path, None)
        if not field.unit:
            put_at(made, field.path, text)
            continue
        length = length_mm(text)
        if length is None:
            put_at(made, field.path, text)
            continue
        put_at(made, field.path, rounded_mm(length))
        if length != exact(rounded_mm(length)) or re.search(r"['′\"″/⁄]|in$", text):
            kept[field.path] = text
    if kept:
        made[TYPED] = kept
    else:
        made.pop(TYPED, None)
    return made


def fields_of(
    document: Mapping[str, Any],
    fields: Iterable[Field],
    typed: Mapping[str, str],
    problems: Iterable[Problem],
) -> tuple[list[dict[str, Any]], list[Problem]]:
    """Fields ready to be drawn, each with its problems; and the problems that belong to no field."""
    left = list(problems)
    kept = document.get(TYPED) if isinstance(document.get(TYPED), dict) else {}
    drawn = []
    for field in fields:
        own = [message for path, message in left if path == field.path]
        left = [(path, message) for path, message in left if path != field.path]
        value = value_at(document, field.path)
        shown = typed.get(field.path, (kept or {}).get(field.path, "" if value is None else value))
        mm = "" if value is None or shown == value or not isinstance(value, int | float) else f"{value:g} mm"
        drawn.append(
            {
                "path": field.path,
                "id": re.sub(r"\W+", "-", field.path),
                "label": field.label,
                "unit": field.unit,
                "hint": field.hint,
                "choices": field.choices,
                "value": str(shown),
                "mm": mm,
                "problems": own,
            }
        )
    return drawn, left
