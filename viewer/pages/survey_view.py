"""What the survey page shows, as plain values for its template."""

import re
from collections.abc import Iterable, Mapping
from gettext import gettext as _
from typing import Any

from markupsafe import Markup

from viewer.drawings.surveyed import surveyed_wall
from viewer.pages.fields import Field, Problem, fields_of, shown_at, within
from viewer.pages.survey_drawn import drawn_wall, region_word
from viewer.pages.survey_fields import Group, job_group, room_group, wall_groups
from viewer.pages.survey_form import all_fields, count_at, region_fields, turn_field, walls_of
from viewer.pages.survey_lists import next_row

SKETCHES_MM = {"small": (93, 96), "medium": (152, 118), "large": (235, 150)}
"""Width and height [mm of paper] of the drawings; style sheets choose by the room there is."""


class SurveyView:
    """The form of a document, with ``typed`` in its boxes and each of ``problems`` at its place."""

    def __init__(
        self, document: Mapping[str, Any], typed: Mapping[str, str], problems: Iterable[Problem]
    ) -> None:
        self.document = document
        self.typed = typed
        self.left = list(problems)
        """Problems that no field of the form has taken."""
        self.groups = [self._group(group) for group in (job_group(), room_group())]
        self.walls = [
            self._wall(number, before) for number, before in enumerate(walls_of(document, typed), start=1)
        ]

    def _boxes(self, of: Iterable[Field]) -> list[dict[str, Any]]:
        boxes, self.left = fields_of(self.document, of, self.typed, self.left)
        return boxes

    def _group(self, group: Group) -> dict[str, Any]:
        boxes = self._boxes(group.fields)
        return {
            "heading": group.heading,
            "id": _id(group.key),
            "first": group.first,
            "open": any(_in_use(box) for box in boxes),
            "fields": boxes,
        }

    def _wall(self, number: int, before: str) -> dict[str, Any]:
        turn = self._boxes([turn_field(number - 2)])[0] if before else None
        drawn = drawn_wall(self.document, before, self.typed)
        heading = _("Wall {number}, round the corner").format(number=number) if before else _("Wall")
        return {
            "path": before.removesuffix("."),
            "place": number - 2,
            "id": _id(before),
            "heading": heading,
            "turn": turn,
            "groups": [self._group(group) for group in wall_groups(before)],
            "lists": [self._list(before, kind) for kind in ("openings", "zones")],
            "placed": bool(drawn and drawn.regions),
            "sketches": {
                level: Markup(surveyed_wall(drawn, width_mm=width, height_mm=height))
                for level, (width, height) in SKETCHES_MM.items()
            }
            if drawn
            else {},
        }

    def _list(self, before: str, kind: str) -> dict[str, Any]:
        path = f"{before}{kind}"
        count = count_at(self.document, path, self.typed)
        openings = kind == "openings"
        return {
            "path": path,
            "id": _id(path),
            "heading": _("Sockets, switches, windows and the like") if openings else _("Zones"),
            "press": _("Add an opening") if openings else _("Add a zone"),
            "rows": [self._row(before, kind, number) for number in range(count)],
        }

    def _row(self, before: str, kind: str, number: int) -> dict[str, Any]:
        path = f"{before}{kind}[{number}]"
        near, more = region_fields(before, kind, number)
        shown, unfolded = self._boxes(near), self._boxes(more)
        own = [problem for problem in self.left if within(problem[0], path)]
        self.left = [problem for problem in self.left if problem not in own]
        return {
            "number": number,
            "path": path,
            "id": _id(path),
            "heading": region_word(self.document, before, kind, number),
            "fields": shown,
            "more": unfolded,
            "open": any(_in_use(box) for box in unfolded),
            "problems": [message for _path, message in own],
        }


def row_templates() -> dict[str, Any]:
    """What a script adds to the lists: an opening, a zone and a wall, each the first of its list."""
    openings, zones = (SurveyView(next_row(kind), {}, ()).walls[0]["lists"] for kind in ("openings", "zones"))
    return {
        "openings": openings[0],
        "zones": zones[1],
        "next_walls": SurveyView(next_row("next_walls"), {}, ()).walls[1],
    }


def _id(path: str) -> str:
    return re.sub(r"\W+", "-", path).strip("-")


def _in_use(box: Mapping[str, Any]) -> bool:
    """Whether a field says anything but what is taken without it, or is wrong."""
    first = box["choices"][0][0] if box["choices"] else ""
    return bool(box["problems"]) or any(
        one["value"] not in ("", first, box["default"]) for one in box["boxes"]
    )


def differences(
    mine: Mapping[str, Any], theirs: Mapping[str, Any], typed: Mapping[str, str]
) -> list[tuple[str, str, str]]:
    """(place in words, mine, theirs) of every box of the survey in which two documents differ."""
    rows = []
    for field in all_fields({**theirs, **mine}, typed):
        for name, _place, words in field.named:
            texts = shown_at(mine, field, name), shown_at(theirs, field, name)
            if texts[0] != texts[1]:
                place = field.label if words == field.label else f"{field.label}, {words}"
                rows.append((_spoken(field.path, place, mine), *texts))
    return rows


def _spoken(path: str, label: str, document: Mapping[str, Any]) -> str:
    """A place for people: ``Wall 2: 3 Socket: From the left``."""
    before = path[: path.index(".") + 1] if path.startswith("next_walls[") else ""
    parts = [label]
    region = re.match(r"(openings|zones)\[(\d+)\]", path.removeprefix(before))
    if region:
        parts.insert(0, region_word(document, before, region[1], int(region[2])))
    for side, words in (("wall.left.", _("Left end")), ("wall.right.", _("Right end"))):
        if path.removeprefix(before).startswith(side):
            parts.insert(0, words)
    if path.removeprefix(before).startswith(("wall.skirting_", "wall.closing_trim")):
        parts.insert(0, _("The skirting"))
    if before:
        parts.insert(0, _("Wall {number}").format(number=int(path[11 : path.index("]")]) + 2))
    return ": ".join(parts)
