"""The form of a survey: its openings, zones and further walls, as many as there are or were typed into."""

from collections.abc import Mapping
from gettext import gettext as _
from typing import Any

from viewer.drawings.marks import OPENING_KINDS, opening_word, zone_word
from viewer.job.accepted import node_at
from viewer.pages.fields import Field
from viewer.pages.places import steps_of, value_at
from viewer.pages.survey_fields import job_group, length, room_group, wall_groups

ZONE_KINDS = ("hidden", "no_drill", "access", "raking_light")


def region_fields(before: str, kind: str, number: int) -> tuple[tuple[Field, ...], tuple[Field, ...]]:
    """The fields of one opening or zone: those in sight, and the others. ``kind`` is openings or zones."""
    path = f"{before}{kind}[{number}]"
    words = (
        tuple((word, opening_word(word)) for word in OPENING_KINDS)
        if kind == "openings"
        else tuple((word, zone_word(word)) for word in ZONE_KINDS)
    )
    place = (
        Field(path=f"{path}.kind", label=_("What"), choices=words),
        length(f"{path}.left_mm", _("From the left")),
        length(f"{path}.bottom_mm", _("From the floor")),
        length(f"{path}.width_mm", _("Width")),
        length(f"{path}.height_mm", _("Height")),
    )
    if kind == "zones":
        return place, ()
    sits = (
        ("pocket", _("on the wall, in a pocket")),
        ("board", _("on the board")),
        ("slats", _("on the slats")),
    )
    hinges = (("", _("none")), ("left", _("hinged left")), ("right", _("hinged right")))
    return place, (
        length(f"{path}.clearance_mm", _("Left free round it")),
        length(f"{path}.architrave_mm", _("Architrave, width")),
        length(f"{path}.architrave_projection_mm", _("Architrave, stands out")),
        Field(path=f"{path}.plate", label=_("Its plate sits"), choices=sits),
        Field(
            path=f"{path}.plate_lab_d65",
            label=_("Colour of the plate"),
            unit="L*; a*; b*",
            holds="many",
            hint=_("left out: white"),
        ),
        Field(path=f"{path}.leaf.hinge", label=_("Door leaf that folds back here"), choices=hinges),
        length(f"{path}.leaf.width_mm", _("Leaf, width")),
        length(f"{path}.leaf.handle_mm", _("Leaf, handle stands out")),
    )


def turn_field(number: int) -> Field:
    """Round which corner a further wall goes on."""
    turns = (("inside", _("an inside corner")), ("outside", _("an outside corner")))
    return Field(path=f"next_walls[{number}].turns", label=_("It goes on round"), choices=turns)


def count_at(document: Mapping[str, Any], path: str, typed: Mapping[str, str]) -> int:
    """How many items a list of the form has: those of the job, and those that were typed into."""
    listed = value_at(document, path)
    count = len(listed) if isinstance(listed, list) else 0
    for name in typed:
        if name.startswith(f"{path}["):
            number = next(iter(steps_of(name[len(path) :])), None)
            count = max(count, number + 1 if isinstance(number, int) else 0)
    limit = (node_at(tuple(steps_of(path))) or {}).get("maxItems", count)
    return min(count, int(limit))


def walls_of(document: Mapping[str, Any], typed: Mapping[str, str]) -> list[str]:
    """What stands before the places of each wall: "", ``next_walls[0].`` …"""
    return ["", *(f"next_walls[{number}]." for number in range(count_at(document, "next_walls", typed)))]


def all_fields(document: Mapping[str, Any], typed: Mapping[str, str]) -> list[Field]:
    """Every field of the form for a document and what was typed into it."""
    found = [*job_group().fields, *room_group().fields]
    for number, before in enumerate(walls_of(document, typed)):
        if number:
            found.append(turn_field(number - 1))
        found += [field for group in wall_groups(before) for field in group.fields]
        for kind in ("openings", "zones"):
            for place in range(count_at(document, f"{before}{kind}", typed)):
                found += [field for fields in region_fields(before, kind, place) for field in fields]
    return found
