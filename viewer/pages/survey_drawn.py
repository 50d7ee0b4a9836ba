"""What of a survey can be drawn, however much of it is still missing or wrong."""

from collections.abc import Mapping
from fractions import Fraction
from gettext import gettext as _
from typing import Any

from meshes.layout.lengths import exact
from meshes.layout.levels import Line
from meshes.layout.rect import Rect
from viewer.drawings.marks import OPENING_KINDS, opening_word, zone_word
from viewer.drawings.surveyed import Region, Surveyed
from viewer.pages.places import value_at
from viewer.pages.survey_form import ZONE_KINDS, count_at

MOST_MM = 60_000


def region_word(document: Mapping[str, Any], before: str, kind: str, number: int) -> str:
    """An opening or zone by its number and word: ``2 Socket``."""
    word = value_at(document, f"{before}{kind}[{number}].kind")
    known = {"openings": OPENING_KINDS, "zones": ZONE_KINDS}[kind]
    named = opening_word if kind == "openings" else zone_word
    return (
        f"{number + 1} {named(word) if word in known else _('Opening') if kind == 'openings' else _('Zone')}"
    )


def drawn_wall(document: Mapping[str, Any], before: str, typed: Mapping[str, str]) -> Surveyed | None:
    """What of a wall can be drawn, however much of it is still missing or wrong; None without its size."""
    wall = f"{before}wall"
    width, height = _size(document, f"{wall}.width_mm"), _size(document, f"{wall}.height_mm")
    if not width or not height:
        return None
    found = []
    for kind in ("openings", "zones"):
        for number in range(count_at(document, f"{before}{kind}", typed)):
            path = f"{before}{kind}[{number}]"
            place = [_length(document, f"{path}.{name}_mm") for name in ("left", "bottom", "width", "height")]
            left, bottom, wide, high = place
            if left is None or bottom is None or not wide or not high or wide < 0 or high < 0:
                continue
            found.append(
                Region(
                    path=path,
                    word=region_word(document, before, kind, number).partition(" ")[2],
                    rect=Rect(left=left, bottom=bottom, width=wide, height=high),
                    zone=kind == "zones",
                    architrave=_positive(document, f"{path}.architrave_mm"),
                )
            )
    studs = value_at(document, f"{wall}.studs_mm")
    return Surveyed(
        width=width,
        height=height,
        ceiling=_ceiling(document, wall, width, height),
        meets=(_meets(document, before, "left"), _meets(document, before, "right")),
        skirting=min(_positive(document, f"{wall}.skirting_mm"), height),
        cornice=min(_positive(document, f"{wall}.cornice_mm"), height),
        studs=tuple(
            exact(one)
            for one in (studs if isinstance(studs, list) else ())
            if isinstance(one, int | float) and 0 < one < width
        ),
        regions=tuple(found),
    )


def _ceiling(document: Mapping[str, Any], wall: str, width: Fraction, height: Fraction) -> Line | None:
    """The ceiling over the floor as measured, where it slopes; a missing place is as its neighbour."""
    measured = value_at(document, f"{wall}.height_mm")
    fall = _length(document, f"{wall}.ceiling_out_of_level_mm") or Fraction(0)
    left = middle = right = None
    if isinstance(measured, dict):
        left, middle, right = (
            _positive(document, f"{wall}.height_mm.{at}") or None for at in ("left", "middle", "right")
        )
    elif fall:
        left, middle, right = height, height + fall / 2, height + fall
    left = left or middle or right or height
    middle = middle or (left + right) / 2 if right else middle or left
    line = Line(width=width, left=left, middle=middle, right=right or middle)
    return None if line.level or line.lowest <= 0 else line


def _meets(document: Mapping[str, Any], before: str, side: str) -> str:
    """What an end meets; where walls go on round a corner, that corner says so."""
    listed = value_at(document, "next_walls")
    count = len(listed) if isinstance(listed, list) else 0
    own = int(before.removeprefix("next_walls[").partition("]")[0]) + 1 if before else 0
    corner = own - 1 if side == "left" else own
    turns = value_at(document, f"next_walls[{corner}].turns") if 0 <= corner < count else None
    if turns in ("inside", "outside"):
        return f"{turns}_corner"
    said = value_at(document, f"{before}wall.{side}.meets")
    return said if isinstance(said, str) else "wall"


def _length(document: Mapping[str, Any], path: str) -> Fraction | None:
    value = value_at(document, path)
    if isinstance(value, bool) or not isinstance(value, int | float) or not -MOST_MM <= value <= MOST_MM:
        return None
    return exact(value)


def _positive(document: Mapping[str, Any], path: str) -> Fraction:
    return max(_length(document, path) or Fraction(0), Fraction(0))


def _size(document: Mapping[str, Any], path: str) -> Fraction | None:
    """The narrowest of what was measured."""
    value = value_at(document, path)
    keys = [f"{path}.{key}" for key in value] if isinstance(value, dict) else [path]
    found = [
        length for length in (_length(document, key) for key in keys) if length is not None and length > 0
    ]
    return min(found, default=None)
