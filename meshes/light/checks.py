"""Contradictions between lamps, room and wall, as (path, message) pairs: all at once, in the user's
millimetres.
"""

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from meshes.layout.levels import height_over
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Wall
from meshes.light.lamps import Lamp, Lighting
from meshes.light.polygon import Array
from meshes.light.room import Room
from meshes.light.site import lamp_axes, lamp_corners

Problem = tuple[str, str]

RAKING_MM = 300
"""Nearer to the face than this, light rakes so steeply that steps above 0.3 mm and filled pins show (common
practice)."""
_TOUCH_MM = 0.5
"""A lamp may lie flush in a surface of the room; what a person rounds to a millimetre still counts as
flush.
"""
_LEAST_CLEAR_MM = 250
"""Room that must be left in front of the slats for anything to be seen."""


def build_up_mm(slats: Slats, panels: Panels) -> float:
    """How far the slats' faces stand out from the wall [mm]."""
    depth = slats.as_machined_mm.depth if slats.as_machined_mm is not None else slats.depth_mm
    return float(panels.packing_mm + panels.thickness_mm + panels.fabric_mm + depth)


def check(
    *,
    wall: Wall,
    slats: Slats,
    panels: Panels,
    room: Room,
    lightings: Sequence[Lighting],
    corners: bool = False,
) -> list[Problem]:
    """Every contradiction, in no particular order; empty when all is well.

    corners : whether walls go on round corners; ``round_corners`` then says where lamps may be.
    """
    face = build_up_mm(slats, panels)
    problems: list[Problem] = []
    if room.depth_mm < face + _LEAST_CLEAR_MM:
        problems.append(
            (
                "room.depth_mm",
                f"{room.depth_mm:g} leaves no room in front of slats whose faces stand {face:g} out of the"
                f" wall; expected {face + _LEAST_CLEAR_MM:g} or more",
            )
        )
    for number, lighting in enumerate(lightings):
        names: dict[str, int] = {}
        for place, lamp in enumerate(lighting.lamps):
            path = f"lightings[{number}].lamps[{place}]"
            if lamp.name in names:
                problems.append(
                    (f"{path}.name", f'"{lamp.name}" already names lamp {names[lamp.name]}; give another')
                )
            names.setdefault(lamp.name, place)
            problems += _unreadable(path, lamp) if corners else _lamp(path, lamp, wall, room, face)
    return problems


def warnings(*, wall: Wall, slats: Slats, panels: Panels, lightings: Sequence[Lighting]) -> list[Problem]:
    """What is allowed and yet worth saying: lamps so near to the face that its small steps will show."""
    face = build_up_mm(slats, panels)
    width, height = float(wall.width_mm), float(wall.height_mm)
    found: list[Problem] = []
    for number, lighting in enumerate(lightings):
        for place, lamp in enumerate(lighting.lamps):
            if not readable(lamp):
                continue
            away = away_mm(1000 * lamp_corners(lamp), width, height, face)
            path = f"lightings[{number}].lamps[{place}].centre_mm"
            found += [(path, words) for words in raking_words(lamp, away, "the slats")]
    return found


def away_mm(corners: Array, width: float, height: float, face: float) -> float:
    """How far a lamp (4, 3) lies from the slats' face in the wall's frame; all in mm, 0 where it touches,
    infinite where it lies behind the wall's plane, round an outside corner.
    """
    low, high = corners.min(axis=0), corners.max(axis=0)
    if high[2] <= 0:
        return np.inf
    beside = np.maximum(0, [low[0] - width, -high[0], low[1] - height, -high[1]]).max()
    return float(np.hypot(beside, max(0.0, low[2] - face)))


def raking_words(lamp: Lamp, away: float, slats: str) -> list[str]:
    """The sentence for a lamp ``away`` mm from the face of ``slats``; none where that is far enough."""
    if away >= RAKING_MM:
        return []
    return [
        f"{lamp.name} lies {away:.0f} mm from the face of {slats}: raking light shows steps above 0.3 mm and"
        f" filled pins; {RAKING_MM} mm or more hides them"
    ]


def readable(lamp: Lamp) -> bool:
    """Whether a lamp faces anywhere."""
    return isinstance(lamp.faces, str) or float(np.linalg.norm(lamp.faces)) > 1e-3


def _unreadable(path: str, lamp: Lamp) -> list[Problem]:
    if readable(lamp):
        return []
    accepted = "down, up, left, right, wall, room, or a direction such as [0, -1, 0]"
    return [(f"{path}.faces", f"a direction of length 0 faces nowhere; expected {accepted}")]


def _lamp(path: str, lamp: Lamp, wall: Wall, room: Room, face: float) -> list[Problem]:
    if problems := _unreadable(path, lamp):
        return problems
    corners = 1000 * lamp_corners(lamp)
    ends = (Fraction(float(corners[:, 0].min())), Fraction(float(corners[:, 0].max())))
    low = np.array([-room.beyond_left_mm, 0.0, 0.0])
    high = np.array(
        [float(wall.width_mm) + room.beyond_right_mm, float(height_over(wall, *ends)), room.depth_mm]
    )
    _, _, normal = lamp_axes(lamp)
    problems = _outside(path, lamp, corners, low, high)
    if problems:
        return problems
    over_wall = (
        corners[:, 0].min() < float(wall.width_mm)
        and corners[:, 0].max() > 0
        and corners[:, 2].min() < face - _TOUCH_MM
    )
    if over_wall:
        return [
            (
                f"{path}.centre_mm",
                f"{lamp.name} reaches to {corners[:, 2].min():g} mm from the wall, into the slats, whose"
                f" faces stand {face:g} mm out of it; keep its nearest edge beyond that",
            )
        ]
    centre = np.asarray(lamp.centre_mm, dtype=np.float64)
    with np.errstate(divide="ignore", invalid="ignore"):
        reach = np.where(normal > 1e-9, (high - centre) / normal, np.inf)
        reach = np.minimum(reach, np.where(normal < -1e-9, (low - centre) / normal, np.inf))
    ahead = float(reach.min())
    into_wall = normal[2] < -0.999 and centre[2] - ahead <= _TOUCH_MM and centre[2] <= face + _TOUCH_MM
    if ahead < 2 or into_wall:
        return [
            (
                f"{path}.faces",
                f"{lamp.name} faces away from the room: its light ends {ahead:g} mm in front of it; turn it"
                " round or move it off the surface it faces",
            )
        ]
    return []


def _outside(path: str, lamp: Lamp, corners: Array, low: Array, high: Array) -> list[Problem]:
    least, most = corners.min(axis=0), corners.max(axis=0)
    if least[2] < -_TOUCH_MM:
        return [
            (
                f"{path}.centre_mm",
                f"{lamp.name} lies inside or behind the wall, {-least[2]:g} mm deep; expected z of 0 or more",
            )
        ]
    problems = []
    for axis, name in enumerate("xyz"):
        if least[axis] < low[axis] - _TOUCH_MM or most[axis] > high[axis] + _TOUCH_MM:
            problems.append(
                (
                    f"{path}.centre_mm",
                    f"{lamp.name} reaches from {least[axis]:g} to {most[axis]:g} mm along {name}, outside the"
                    f" room's {low[axis]:g} to {high[axis]:g}",
                )
            )
    return problems
