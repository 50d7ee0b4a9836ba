"""How far a door's leaf folds back before it meets the slats: its handle, or the leaf near its hinge.

Its hinge stands level with the architrave's face, or in the wall's plane where there is none. Angles in
radians, from folded flat against the wall.
"""

from math import asin, atan2, hypot, pi

from meshes.layout.openings import opening_rect, slat_hole
from meshes.layout.placed import BuildUp
from meshes.layout.survey import Opening


def handle_stop(opening: Opening, build_up: BuildUp) -> float:
    """Where the handle meets the slats. Raises ValueError for an opening without a leaf."""
    if opening.leaf is None:
        raise ValueError(f"leaf: a {opening.kind} without one")
    reach, out = float(opening.leaf.width_mm), float(opening.leaf.handle_mm)
    over = max(0.0, float(build_up.total - opening.architrave_projection_mm))
    return asin(min(1.0, over / hypot(reach, out))) + atan2(out, reach)


def edge_stop(opening: Opening, build_up: BuildUp) -> float:
    """Where the leaf meets the edge of the slats beside the opening; 0 where they stand no farther out."""
    over = float(build_up.total - opening.architrave_projection_mm)
    return atan2(over, beside(opening)) if over > 0 else 0.0


def beside(opening: Opening) -> float:
    """How far from the opening the slats begin [mm]."""
    return float(opening_rect(opening).left - slat_hole(opening).left)


def stop(opening: Opening, build_up: BuildUp) -> float:
    """How far from flat the leaf stands when it is open as far as it goes; pi/2 is straight out."""
    return min(pi / 2, max(handle_stop(opening, build_up), edge_stop(opening, build_up)))
