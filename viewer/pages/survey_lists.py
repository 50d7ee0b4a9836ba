"""The presses beside the lists of a survey: another opening, zone or wall, and one taken away."""

from collections.abc import Iterable, Mapping
from copy import deepcopy
from typing import Any

from viewer.job.accepted import node_at
from viewer.pages.fields import TYPED
from viewer.pages.places import number_below, put_at, steps_of, value_at

NEW: dict[str, dict[str, Any]] = {
    "openings": {"kind": "socket", "left_mm": 300, "bottom_mm": 300, "width_mm": 86, "height_mm": 86},
    "zones": {"kind": "hidden", "left_mm": 300, "bottom_mm": 0, "width_mm": 900, "height_mm": 700},
    "next_walls": {},
}
"""What is added first, to be put right; a plate of 86 mm is that of a British socket (BS 4662)."""
NEW_WIDTH_MM, NEW_HEIGHT_MM = 2400, 2400
NEXT_TO_MM = 60
"""How far beside the last one of a list a further one is put."""


def change_lists(document: dict[str, Any], what: str) -> str | None:
    """``add openings``, ``take next_walls[0].zones 2``: the presses beside the lists. Where to go on."""
    action, _space, rest = what.partition(" ")
    path, _space, number = rest.partition(" ")
    kind = path.rpartition(".")[2]
    holder = value_at(document, path.rpartition(".")[0]) if "." in path else document
    if kind not in NEW or not isinstance(holder, dict):
        return None
    was = holder.get(kind)
    listed = list(was) if isinstance(was, list) else []
    if action == "add":
        if kind == "next_walls":
            _close_corner(document, len(listed))
        listed.append(_another(listed, kind, document))
    elif action == "take" and (taken := number_below(number, len(listed))) is not None:
        del listed[taken]
        _move_notes(document, path, taken)
    holder[kind] = listed
    if not listed:
        del holder[kind]
    return path.replace("[", "-").replace("].", "-")


def arrange_lists(document: Mapping[str, Any], lists: Iterable[str], *, current: bool) -> dict[str, Any]:
    """The document with the lists that a form has changed, in its order: ``openings 1 0 +``.

    A number is where a row stood when the form was given out, ``+`` one added since; the form's fields, put
    in afterwards, say what is in it. Where the document is no longer that one (``current`` is false), places
    are taken as they are: numbers would mean other rows, and a form sent twice must change nothing more.
    """
    made = deepcopy(dict(document))
    for one in sorted(lists, key=lambda text: not text.startswith("next_walls ")):
        path, *rows = one.split(" ")
        kind = path.rpartition(".")[2]
        holder = value_at(made, path.rpartition(".")[0]) if "." in path else made
        if kind not in NEW or not isinstance(holder, dict):
            continue
        was = holder.get(kind)
        listed = was if isinstance(was, list) else []
        places = rows if current else [str(place) for place in range(len(rows))]
        holder[kind] = [
            {} if (stood := number_below(row, len(listed))) is None else deepcopy(listed[stood])
            for row in places[: _most(kind)]
        ]
        if not holder[kind]:
            del holder[kind]
        _drop_notes(made, path)
    return made


def _most(path: str) -> int:
    return int((node_at((path,)) or {})["maxItems"])


def _drop_notes(document: dict[str, Any], path: str) -> None:
    """What was typed in inches into the rows of a list; the form has it all."""
    notes = document.get(TYPED)
    if not isinstance(notes, dict):
        return
    document[TYPED] = {name: text for name, text in notes.items() if not name.startswith(f"{path}[")}
    if not document[TYPED]:
        del document[TYPED]


def next_row(kind: str) -> dict[str, Any]:
    """A job document with one new row of a list and nothing else, to be drawn as a template."""
    document: dict[str, Any] = {}
    change_lists(document, f"add {kind}")
    return document


def _close_corner(document: dict[str, Any], number: int) -> None:
    """An end that was open meets the corner, once a wall goes on round it."""
    end = f"{f'next_walls[{number - 1}].' if number else ''}wall.right.meets"
    if value_at(document, end) == "open":
        put_at(document, end, "inside_corner")


def _another(listed: list[Any], kind: str, document: Mapping[str, Any]) -> dict[str, Any]:
    """One more of a list: like the last one and beside it, for they come in rows."""
    if kind == "next_walls":
        height = value_at(document, "wall.height_mm")
        return {"turns": "inside", "wall": {"width_mm": NEW_WIDTH_MM, "height_mm": height or NEW_HEIGHT_MM}}
    last = listed[-1] if listed and isinstance(listed[-1], dict) else {}
    places = [last.get(name) for name in ("left_mm", "width_mm", "bottom_mm", "height_mm")]
    if not all(isinstance(place, int | float) for place in places):
        return dict(NEW[kind])
    beside = last["left_mm"] + last["width_mm"] + NEXT_TO_MM
    return {**{key: last[key] for key in NEW[kind] if key in last}, "left_mm": beside}


def _move_notes(document: dict[str, Any], path: str, taken: int) -> None:
    """What was typed in inches goes along with the item of a list that it belongs to."""
    notes = document.get(TYPED)
    if not isinstance(notes, dict):
        return
    moved = {}
    for name, text in notes.items():
        inside = name.startswith(f"{path}[")
        number = next(iter(steps_of(name[len(path) :])), None) if inside else None
        if not isinstance(number, int) or number < taken:
            moved[name] = text
        elif number > taken:
            rest = name[len(path) :].partition("]")[2]
            moved[f"{path}[{number - 1}]{rest}"] = text
    document[TYPED] = moved
    if not moved:
        del document[TYPED]
