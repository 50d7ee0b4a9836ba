"""Places in a list by number, and in a document of plain data by paths such as ``openings[0].left_mm``."""

import re
from typing import Any

MOST_ITEMS = 10_000
"""A number from here on is no place: no list of a job is nearly as long."""


def number_below(text: str, limit: int) -> int | None:
    """The whole number from 0 that a query or form says; None where it says none, or ``limit`` or more.

    What has more digits than ``limit`` is not even read: of thousands of digits ``int`` makes an exception.
    """
    if not text.isdecimal() or len(text) > len(str(limit)):
        return None
    return number if (number := int(text)) < limit else None


def steps_of(path: str) -> list[str | int]:
    """The keys and numbers of a path, in their order."""
    steps = re.findall(r"[^.\[\]]+", path)
    return [key if (number := number_below(key, MOST_ITEMS)) is None else number for key in steps]


def value_at(document: Any, path: str) -> Any:
    """The value at a path; None where there is none."""
    for key in steps_of(path):
        try:
            document = document[key]
        except (KeyError, IndexError, TypeError):
            return None
    return document


def put_at(document: dict[str, Any], path: str, value: Any) -> None:
    """Write a value at a path, making the objects on the way and the items that lists lack."""
    *way, last = steps_of(path)
    place: Any = document
    for key, following in zip(way, [*way, last][1:], strict=True):
        wanted: type = list if isinstance(following, int) else dict
        if isinstance(place, list) and isinstance(key, int):
            place.extend({} for _missing in range(len(place), key + 1))
            if not isinstance(place[key], wanted):
                place[key] = wanted()
        elif not isinstance(place.get(key), wanted):
            place[key] = wanted()
        place = place[key]
    place[last] = value


def take_at(document: dict[str, Any], path: str) -> None:
    """Take the value at a path out, and objects on the way that this leaves empty; items of lists stay."""
    *way, last = steps_of(path)
    places: list[tuple[Any, str | int]] = []
    place: Any = document
    for key in way:
        places.append((place, key))
        place = value_at(place, f"[{key}]")
    if not isinstance(place, dict) or not isinstance(last, str) or last not in place:
        return
    del place[last]
    for parent, key in reversed(places):
        if parent[key] != {} or not isinstance(parent, dict):
            return
        del parent[key]
