"""Depths of the construction out of the wall, in metres: the only step from exact millimetres to floats.

Section through an upright wall, seen from above (z out of the wall, into the room)::

    z
    ^        +-----+           +-----+      face        = build-up total
    |        |slat |           |slat |
    |   =====+=====+===========+=====+===   fabric_face
    |   #################################   board_face
    |   #################################
    |   :   :   :   :   :   :   :   :       board_back  = packing
    +--------------------------------------> x   the wall, z = 0
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.setout import BuildUp, Rect

PLATE_THICKNESS_M = 0.009
"""How far a cover plate stands out from what it is fixed to (common practice)."""

SHADOW_STRIP_M = 0.001
"""Thickness of the dark strip that is painted or stuck on the wall in a shadow gap (common practice)."""


def metres(length: Fraction) -> float:
    """Millimetres, exact, to metres: rounded once to the nearest float."""
    return float(length / 1000)


def corners_m(rect: Rect) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of a wall rectangle [m]."""
    return metres(rect.left), metres(rect.bottom), metres(rect.right), metres(rect.top)


@dataclass(frozen=True, slots=True, kw_only=True)
class Depths:
    """Distances from the wall plane [m], all >= 0 and in rising order."""

    board_back: float
    board_face: float
    fabric_face: float
    face: float


def depths(build_up: BuildUp) -> Depths:
    """The four planes of the construction [m]."""
    return Depths(
        board_back=metres(build_up.packing),
        board_face=metres(build_up.packing + build_up.board),
        fabric_face=metres(build_up.fabric_face),
        face=metres(build_up.total),
    )
