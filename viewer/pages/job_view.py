"""What the job page shows, as plain values for its template: no request, no clock."""

import json
from collections.abc import Mapping, Sequence
from gettext import gettext as _
from typing import Any

from markupsafe import Markup

from finishes.adaptation import D65_XYZ, adapted_srgb
from finishes.appearance import Appearance
from finishes.band import band as band_of
from finishes.choice import Finish
from finishes.lamps import lamp
from meshes.layout.placed import SetOut
from meshes.layout.survey import Zone
from viewer.drawings.elevation import elevation
from viewer.drawings.figures import figure
from viewer.drawings.marks import marks
from viewer.drawings.rod import rod
from viewer.pages.quantities import Row

LEVELS_MM = {"small": (93, None), "medium": (152, 98), "large": (235, 150)}
"""Width and height [mm of paper] of the page's drawings; style sheets choose by the room there is."""
RODS_MM = {"wide": 318, "short": 93}


def drawings(set_out: SetOut, zones: Sequence[Zone]) -> dict[str, dict[str, Markup]]:
    """Elevations and rods by level. Our own SVG: its words are escaped where they are written."""
    return {
        "elevations": {
            level: Markup(elevation(set_out, zones=zones, width_mm=width, height_mm=height))
            for level, (width, height) in LEVELS_MM.items()
        },
        "rods": {name: Markup(rod(set_out, width_mm=width)) for name, width in RODS_MM.items()},
    }


def rod_marks(set_out: SetOut) -> Markup:
    """The rod's marks as JSON for its slider."""
    return script_json(
        [
            {"at_mm": float(mark.at), "until_mm": float(mark.until), "words": mark.words}
            for mark in marks(set_out)
        ]
    )


def script_json(value: Any) -> Markup:
    """JSON that may stand inside a script element."""
    text = json.dumps(value, separators=(",", ":"), ensure_ascii=False)
    return Markup(text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029"))


def set_out_rows(set_out: SetOut) -> list[Row]:
    """The numbers a maker asks for first."""
    slat, gap = _("Slat"), _("Gap")
    both = {"slat": _("both ends finish on a slat"), "gap": _("both ends finish on a gap")}
    return [
        Row(what=_("Slats"), amount=str(len(set_out.slats))),
        Row(
            what=slat,
            amount=f"{figure(set_out.slat_width)} × {figure(set_out.slat_depth)}",
            unit="mm",
        ),
        Row(what=gap, amount=figure(set_out.gap), unit="mm", note=both.get(set_out.ends, "")),
        Row(what=_("Pitch"), amount=figure(set_out.pitch), unit="mm"),
        Row(what=_("Panels"), amount=str(len(set_out.panels))),
        Row(what=_("Stands out from the wall"), amount=figure(set_out.build_up.total), unit="mm"),
    ]


def finish_words(finish: Finish, names: Mapping[str, str]) -> str:
    """A finish in one line; ``names`` are the catalogue's first entries, for what was left empty."""
    timber, stain = finish.timber or names["timber"], tone_words(finish, names)
    topcoat, fabric = finish.topcoat or names["topcoat"], finish.fabric or names["fabric"]
    if finish.coats == 0:
        return _("{timber}, no stain, {topcoat}, {fabric}").format(
            timber=timber, topcoat=topcoat, fabric=fabric
        )
    if finish.coats == 1:
        return _("{timber}, {stain} in one coat, {topcoat}, {fabric}").format(
            timber=timber, stain=stain, topcoat=topcoat, fabric=fabric
        )
    return _("{timber}, {stain} in {coats} coats, {topcoat}, {fabric}").format(
        timber=timber, stain=stain, coats=finish.coats, topcoat=topcoat, fabric=fabric
    )


def tone_words(finish: Finish, names: Mapping[str, str]) -> str:
    """The tone: its name, or the recipe of an own one."""
    recipe = finish.own_tone
    if recipe is None:
        return finish.stain or names["stain"]
    return _("{first_parts} : {second_parts} of {first} and {second}").format(
        first_parts=f"{recipe.first_parts:g}",
        second_parts=f"{recipe.second_parts:g}",
        first=recipe.first,
        second=recipe.second,
    )


def finish_view(
    key: str,
    label: str,
    finish: Finish,
    seen: Appearance,
    names: Mapping[str, str],
    *,
    band: str,
    checked: bool,
    rows: list[Row],
) -> dict[str, Any]:
    """One finish of the choice."""
    return {
        "key": key,
        "name": label,
        "make": finish_words(finish, names),
        "state": band_of(seen, lamp("D65")).words,
        "band": band,
        "checked": checked,
        "swatches": [
            {"name": _("slat"), "srgb_hex": unlit_hex(seen, "slat_front")},
            {"name": _("backing"), "srgb_hex": unlit_hex(seen, "fabric")},
        ],
        "quantities": rows,
    }


def unlit_hex(seen: Appearance, surface: str) -> str:
    """The exact colour of a surface in even daylight (D65), as sRGB."""
    encoded = adapted_srgb(seen.reflectance[surface] @ lamp("D65").weights, D65_XYZ)
    return "#" + "".join(f"{round(float(channel) * 255):02x}" for channel in encoded)
