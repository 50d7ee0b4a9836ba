"""The room in plan and in section, with its lamps, as plain shapes [mm] for the page's drawing.

Plan: x to the right, z downwards, out of the wall. Section: z to the right, y upwards (so its signs turn).
"""

from collections.abc import Mapping, Sequence
from gettext import gettext as _
from typing import Any

from viewer.answers.set_out import set_outs_of
from viewer.job.model import Job

AXES = {"plan": (0, 2), "section": (2, 1)}
SIGNS = {"plan": (1, 1), "section": (1, -1)}
LEAST_SHARE = 0.02
"""A lamp is drawn at least this part of the drawing's width thick, so that it can be held."""
MARGIN_SHARE = 0.07
"""Room round the drawing, for the number of a lamp under the ceiling."""
SPANS: dict[str, tuple[int | None, int | None, int | None]] = {
    "down": (0, None, 1),
    "up": (0, None, 1),
    "left": (None, 1, 0),
    "right": (None, 1, 0),
    "wall": (0, 1, None),
    "room": (0, 1, None),
}
"""Which of the two sizes of a lamp lies along x, y and z."""
TOWARDS = {
    "down": (0, -1, 0),
    "up": (0, 1, 0),
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
    "wall": (0, 0, -1),
    "room": (0, 0, 1),
}


def plane_views(job: Job, lamps: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Both drawings; lamps that are not yet numbers are left out."""
    width, height, room = float(job.wall.width_mm), float(job.wall.height_mm), job.room
    first = set_outs_of(job)[0]
    out = float(first.build_up.total)
    left, right = -room.beyond_left_mm, width + room.beyond_right_mm
    slats = (float(first.face.left), float(first.face.right), float(first.face.bottom), float(first.face.top))
    boxes = {
        "plan": ((left, 0.0, right - left, room.depth_mm), (slats[0], 0.0, slats[1] - slats[0], out)),
        "section": ((0.0, -height, room.depth_mm, height), (0.0, -slats[3], out, slats[3] - slats[2])),
    }
    words = {"plan": _("Plan, from above"), "section": _("Section, from the left")}
    views = []
    for name, (box, wall) in boxes.items():
        views.append(
            {
                "name": name,
                "words": words[name],
                "view_box": _view_box(box, MARGIN_SHARE * box[2]),
                "room": box,
                "slats": wall,
                "axes": AXES[name],
                "signs": SIGNS[name],
                "letters_mm": round(0.035 * box[2]),
                "lamps": [
                    shape
                    for number, lamp in enumerate(lamps)
                    if (shape := _shape(number, lamp, name, LEAST_SHARE * box[2])) is not None
                ],
            }
        )
    return views


def _view_box(box: tuple[float, float, float, float], margin: float) -> str:
    left, top, width, height = box
    return f"{left - margin:.0f} {top - margin:.0f} {width + 2 * margin:.0f} {height + 2 * margin:.0f}"


def _shape(number: int, lamp: Mapping[str, Any], name: str, least: float) -> dict[str, Any] | None:
    """A lamp about its own centre, and where that centre stands in the drawing."""
    centre, size, faces = lamp.get("centre_mm"), lamp.get("size_mm"), lamp.get("faces")
    if not _numbers(centre, 3) or not _numbers(size, 2):
        return None
    assert centre is not None
    assert size is not None
    known = faces if isinstance(faces, str) and faces in SPANS else ""
    spans = SPANS.get(known, (0, 1, 0))
    towards: Sequence[Any] = TOWARDS.get(known, (0, 0, 0))
    if isinstance(faces, list | tuple) and _numbers(faces, 3):
        towards = faces
    first, second = AXES[name]
    signs = SIGNS[name]
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
