"""Form fields for places in the job file: what was typed comes back, problems stand at their field.

A length may be typed in millimetres or in feet and inches with fractions (``7' 10 1/2"``). The millimetres go
into the job, what was typed beside them under ``_typed``. An emptied field takes its place out of the job.
"""

import re
from collections.abc import Iterable, Mapping
from copy import deepcopy
from dataclasses import dataclass
from gettext import gettext as _
from typing import Any, Literal

from meshes.layout.lengths import exact, rounded_mm
from viewer.job.accepted import node_at
from viewer.pages.lengths import is_imperial, length_mm
from viewer.pages.places import put_at, steps_of, take_at, value_at

TYPED = "_typed"
"""Key of the job document that keeps what was typed in another unit, by path. Keys with _ are ignored."""

BETWEEN = re.compile(r"[;\n]")
"""What stands between lengths of one box: a comma may be a decimal sign, a space stands within inches."""

AS_OBJECT = re.compile(r",? or an object with [a-z, ]+ and [a-z]+")
"""What the job file accepts besides one number; a form has boxes for it."""

Problem = tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """A field of a form: a choice with ``choices`` (value, words), a length with ``unit``, else words.

    ``holds``: one value; ``many`` lengths in one box; ``places``, one number or an object of as many as there
    are ``boxes`` (name, words); ``grid``, rows of as many as there are boxes, the last row on top.
    """

    path: str
    label: str
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    hint: str = ""
    holds: Literal["one", "many", "places", "grid"] = "one"
    boxes: tuple[tuple[str, str], ...] = ()

    @property
    def named(self) -> tuple[tuple[str, str, str], ...]:
        """(name of the input, place in the job, words) of every box, in the order in which they are typed."""
        if self.holds == "places":
            return tuple(
                (f"{self.path}.{key}" if number else self.path, f"{self.path}.{key}", words)
                for number, (key, words) in enumerate(self.boxes)
            )
        if self.holds == "grid":
            rows = range(len(self.boxes) - 1, -1, -1)
            return tuple(
                (f"{self.path}[{row}][{column}]", f"{self.path}[{row}][{column}]", f"{up}, {across}")
                for row, (up, _) in zip(rows, reversed(self.boxes), strict=True)
                for column, (_, across) in enumerate(self.boxes)
            )
        return ((self.path, self.path, self.label),)


def default_at(path: str) -> Any:
    """What the job file takes where this place is left out; None where that is nothing."""
    return (node_at(tuple(steps_of(path))) or {}).get("default")


def document_with(
    document: Mapping[str, Any], fields: Iterable[Field], typed: Mapping[str, str]
) -> dict[str, Any]:
    """The document with what was typed; a length that is none goes in as typed, for the check to refuse."""
    made = deepcopy(dict(document))
    kept = dict(made.get(TYPED) or {})
    for field in fields:
        if not any(name in typed for name, _place, _words in field.named):
            continue
        texts = {
            name: typed.get(name, shown_at(document, field, name)).strip()
            for name, _place, _words in field.named
        }
        for name, text in texts.items():
            kept.pop(name, None)
            if field.unit and _kept_as_typed(field, text):
                kept[name] = text
        value = _value(field, texts)
        if value is None or (value == default_at(field.path) and value_at(made, field.path) is None):
            take_at(made, field.path)
        else:
            put_at(made, field.path, value)
    if kept:
        made[TYPED] = kept
    else:
        made.pop(TYPED, None)
    return made


def _value(field: Field, texts: Mapping[str, str]) -> Any:
    """What the boxes of a field say; None where they are empty."""
    if field.holds == "many":
        pieces = [piece for piece in BETWEEN.split(texts[field.path]) if piece.strip()]
        return [_number(piece) for piece in pieces] or None
    if isinstance(default_at(field.path), bool):
        return {"true": True, "false": False}.get(texts[field.path], texts[field.path])
    found = [None if text == "" else _number(text) if field.unit else text for text in texts.values()]
    if all(value is None for value in found):
        return None
    if field.holds == "places":
        if found[1:] == [None] * (len(found) - 1):
            return found[0]
        keys = (key for key, _words in field.boxes)
        return {key: value for key, value in zip(keys, found, strict=True) if value is not None}
    if field.holds == "grid":
        size = len(field.boxes)
        return [found[start : start + size] for start in range(0, size * size, size)][::-1]
    return found[0]


def _number(text: str) -> int | float | str:
    length = length_mm(text)
    return text.strip() if length is None else rounded_mm(length)


def _kept_as_typed(field: Field, text: str) -> bool:
    """Whether the millimetres alone would not give back what was typed."""
    pieces = BETWEEN.split(text) if field.holds == "many" else [text]
    lengths = [length_mm(piece) for piece in pieces]
    return any(
        length is not None and (is_imperial(piece) or length != exact(rounded_mm(length)))
        for piece, length in zip(pieces, lengths, strict=True)
    )


def shown_at(document: Mapping[str, Any], field: Field, name: str) -> str:
    """The text of one box of a field."""
    kept = document.get(TYPED)
    if isinstance(kept, dict) and name in kept:
        return str(kept[name])
    value = value_at(document, field.path)
    if field.holds == "many" and isinstance(value, list):
        return "; ".join(_figure(one) for one in value)
    if field.holds == "places" and not isinstance(value, dict):
        value = value if name == field.path else None
    elif field.holds in ("places", "grid"):
        place = next(place for box, place, _words in field.named if box == name)
        value = value_at(document, place)
    return "" if value is None else _figure(value)


def _figure(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def fields_of(
    document: Mapping[str, Any],
    fields: Iterable[Field],
    typed: Mapping[str, str],
    problems: Iterable[Problem],
) -> tuple[list[dict[str, Any]], list[Problem]]:
    """Fields ready to be drawn, each with its problems; and the problems that belong to no field."""
    left = list(problems)
    drawn = []
    for field in fields:
        own = [problem for problem in left if within(problem[0], field.path)]
        left = [problem for problem in left if problem not in own]
        boxes = [_box(document, field, name, place, words, typed) for name, place, words in field.named]
        wrong = {place for path, _message in own for _n, place, _w in field.named if within(path, place)}
        for box in boxes:
            box["wrong"] = bool(own) and (not wrong or box["place"] in wrong)
        default = default_at(field.path)
        drawn.append(
            {
                **boxes[0],
                "label": field.label,
                "unit": field.unit,
                "hint": field.hint,
                "holds": field.holds,
                "choices": _choices(field, boxes[0]["value"]),
                "chosen": boxes[0]["value"] or (_figure(default) if isinstance(default, str | bool) else ""),
                "default": _figure(default) if field.unit and isinstance(default, int | float) else "",
                "boxes": boxes,
                "problems": [_named(document, field, path, message) for path, message in own],
            }
        )
    return drawn, left


def _box(
    document: Mapping[str, Any], field: Field, name: str, place: str, words: str, typed: Mapping[str, str]
) -> dict[str, Any]:
    shown = typed.get(name, shown_at(document, field, name))
    length = length_mm(shown) if field.unit and field.holds != "many" and is_imperial(shown) else None
    return {
        "path": name,
        "place": place,
        "id": re.sub(r"\W+", "-", name).strip("-"),
        "words": words,
        "value": shown,
        "mm": "" if length is None else f"{rounded_mm(length):.10g} mm",
    }


def _choices(field: Field, value: str) -> tuple[tuple[str, str], ...]:
    """The words to choose from; a word of the job that is none of them stands there too, to be put right."""
    if not field.choices or value in ("", *(key for key, _words in field.choices)):
        return field.choices
    return (*field.choices, (value, value))


def within(path: str, place: str) -> bool:
    """Whether a path is a place or lies inside it."""
    return path == place or path.startswith((f"{place}.", f"{place}["))


def _named(document: Mapping[str, Any], field: Field, path: str, message: str) -> str:
    """A problem's words, with the box that it is about where a field has several."""
    if field.holds == "places" and path == field.path:
        if isinstance(value_at(document, path), dict):
            return _("expected one place, or all three")
        return AS_OBJECT.sub("", message)
    words = next((words for _n, place, words in field.named if len(field.named) > 1 and place == path), "")
    return f"{words}: {message}" if words else message
