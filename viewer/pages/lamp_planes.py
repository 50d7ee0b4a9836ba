"""The room in plan and in sections, with its lamps, as plain shapes [mm] for the page's drawing."""

from collections.abc import Mapping, Sequence
from gettext import gettext as _
from typing import Any

from meshes.light.placed import DIRECTIONS
from meshes.light.room import Room
from viewer.pages.room_drawn import Drawing, Point, WallInPlan, drawings

LETTERS_SHARE = 0.035
LEAST_SHARE = 0.02
"""A lamp is drawn at least this part of the drawing's width thick, so that it can be held."""
MARGIN_SHARE = 0.07
"""Room round the drawing, for the number of a lamp under the ceiling and the name of a wall behind it."""
SHAPE = 1.4
"""The page's place for a drawing is so many times as wide as high: of a higher drawing the height counts."""
NAME_OFF = 0.8
"""How far behind its wall the middle of a name stands, in heights of letters."""
SPANS: dict[str, tuple[int | None, int | None, int | None]] = {
    "down": (0, None, 1),
    "up": (0, None, 1),
    "left": (None, 1, 0),
    "right": (None, 1, 0),
    "wall": (0, 1, None),
    "room": (0, 1, None),
}
"""Which of the two sizes of a lamp lies along x, y and z."""


def plane_views(
    walls: Sequence[WallInPlan], room: Room, lamps: Sequence[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """The plan, then a section of each wall; lamps that are not yet numbers are left out."""
    return [_view(drawing, lamps) for drawing in drawings(walls, room)]


def _view(drawing: Drawing, lamps: Sequence[Mapping[str, Any]]) -> dict[str, Any]:
    left, top, width, height = drawing.box
    share = max(width, SHAPE * height)
    margin, letters = MARGIN_SHARE * share, LETTERS_SHARE * share
    seen = left - margin, top - margin, width + 2 * margin, height + 2 * margin
    shapes = (_shape(number, lamp, drawing, LEAST_SHARE * share) for number, lamp in enumerate(lamps))
    off = NAME_OFF * letters
    places = [(at[0] + off * behind[0], at[1] + off * behind[1]) for _number, at, behind in drawing.names]
    drawn = [shape for shape in shapes if shape is not None]
    return {
        "words": drawing.words,
        "view_box": " ".join(f"{one:.0f}" for one in seen),
        "axes": drawing.axes,
        "signs": [f"{sign:g}" for sign in drawing.signs],
        "shapes": [(shape.kind, _points(shape.corners)) for shape in drawing.shapes],
        "below_zero": top < 0,
        "more_room": any(shape.kind == "rest" for shape in drawing.shapes),
        "names": [
            {
                "words": _("wall {number}").format(number=number),
                "at": (round(x), round(y)),
                "turned": behind[0] != 0,
            }
            for (number, _at, behind), (x, y) in zip(drawing.names, places, strict=True)
        ],
        "letters_mm": round(letters),
        "lamps": _numbered(drawn, places, letters),
    }


def _numbered(
    lamps: Sequence[dict[str, Any]], names: Sequence[Point], letters: float
) -> list[dict[str, Any]]:
    """Lamps with the place of their numbers: over each, beside one another where two meet, and under the lamp
    where the name of a wall stands over it.
    """
    placed: list[tuple[float, float]] = []
    found = []
    for lamp in lamps:
        (x, y), high = lamp["at"], lamp["box"][3] / 2
        down = -high - 0.6 * letters
        if any(abs(x - at[0]) < 2 * letters and abs(y + down - at[1]) < letters for at in names):
            down = high + 1.4 * letters
        across = 0.0
        while any(
            abs(x + across - one) < letters and abs(y + down - other) < letters for one, other in placed
        ):
            across += letters
        placed.append((x + across, y + down))
        found.append({**lamp, "number_at": (round(across, 1), round(down, 1))})
    return found


def _points(corners: Sequence[Point]) -> str:
    return " ".join(f"{x + 0.0:.10g},{y + 0.0:.10g}" for x, y in corners)  # + 0.0: never -0


def _shape(number: int, lamp: Mapping[str, Any], drawing: Drawing, least: float) -> dict[str, Any] | None:
    """A lamp about its own centre, and where that centre stands in the drawing."""
    centre, size, faces = lamp.get("centre_mm"), lamp.get("size_mm"), lamp.get("faces")
    if not _numbers(centre, 3) or not _numbers(size, 2):
        return None
    assert centre is not None
    assert size is not None
    known = faces if isinstance(faces, str) and faces in SPANS else ""
    spans = SPANS.get(known, (0, 1, 0))
    towards: Sequence[Any] = DIRECTIONS.get(known, (0, 0, 0))
    if isinstance(faces, list | tuple) and _numbers(faces, 3):
        towards = faces
    first, second = drawing.axes
    signs = drawing.signs
    across, up = (
        max(least, float(size[span])) if (span := spans[axis]) is not None else least
        for axis in (first, second)
    )
    return {
        "number": number,
        "name": str(lamp.get("name", "")),
        "at": (signs[0] * float(centre[first]), signs[1] * float(centre[second])),
        "box": (-across / 2, -up / 2, across, up),
        "shines": (signs[0] * towards[first] * 6 * least, signs[1] * towards[second] * 6 * least),
    }


def _numbers(value: Any, count: int) -> bool:
    return (
        isinstance(value, list | tuple)
        and len(value) == count
        and all(isinstance(one, int | float) and not isinstance(one, bool) for one in value)
    )
