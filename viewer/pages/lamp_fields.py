"""The fields of one lamp, in words that say from which wall its numbers count."""

from collections.abc import Mapping, Sequence
from gettext import gettext as _
from gettext import ngettext
from typing import Any

from meshes.light.placed import DIRECTIONS
from viewer.pages.fields import Field
from viewer.pages.room_drawn import WallInPlan
from viewer.services import services

NUMBERS = ("lumens", "dimmed_to")


def face_words(walls: Sequence[WallInPlan]) -> dict[str, str]:
    """Where a lamp shines: of several walls, at which."""
    words = {
        "down": _("down"),
        "up": _("up"),
        "left": _("to the left"),
        "right": _("to the right"),
        "wall": _("at the wall"),
        "room": _("into the room"),
    }
    if len(walls) == 1:
        return words
    words["room"] = _("away from wall 1")
    for key, (x, _y, z) in DIRECTIONS.items():
        met = [str(number) for number, wall in enumerate(walls, start=1) if wall.out == (-x, -z)]
        if met:
            at = ngettext("at wall {numbers}", "at walls {numbers}", len(met)).format(numbers=", ".join(met))
            words[key] = at if key == "wall" else _("{way}, {at_wall}").format(way=words[key], at_wall=at)
    return words


def lamp_fields(path: str, lamp: Mapping[str, Any], walls: Sequence[WallInPlan]) -> tuple[Field, ...]:
    """The fields of one lamp. A direction that is a vector is left as it stands."""
    faces, light = lamp.get("faces"), lamp.get("spectrum")
    known = services().catalogue.entries("lamp")
    names = [(name, name) for name in known]
    names += [(light, f"{light}, {name}") for name, entry in known.items() if entry.spectrum == light][:1]
    several = len(walls) > 1
    centre = (
        _("From the left of wall 1") if several else _("From the left"),
        _("From the floor"),
        _("Out from wall 1") if several else _("Out from the wall"),
    )
    return (
        Field(path=f"{path}.name", label=_("Called")),
        *(
            Field(path=f"{path}.centre_mm[{axis}]", label=words, unit="mm")
            for axis, words in enumerate(centre)
        ),
        Field(path=f"{path}.size_mm[0]", label=_("Long"), unit="mm"),
        Field(path=f"{path}.size_mm[1]", label=_("Wide"), unit="mm"),
        *(
            (Field(path=f"{path}.faces", label=_("Shines"), choices=tuple(face_words(walls).items())),)
            if isinstance(faces, str) and faces in DIRECTIONS
            else ()
        ),
        Field(path=f"{path}.spectrum", label=_("Kind of light"), choices=tuple(names)),
        Field(path=f"{path}.lumens", label=_("Lumens, undimmed")),
        Field(path=f"{path}.dimmed_to", label=_("Dimmed to"), hint=_("share of its light; empty: all of it")),
    )
