"""Places beside what stands on a surface, in the stead of places under it, which no light reaches.

A table of light on a floor has places under a bed. Between one of those and the next before the bed a picture
would show a dark fringe: so they hold what falls just before the bed.
"""

import numpy as np

from meshes.light.plane import Plane
from meshes.light.polygon import Array

_FOOT_M = 2e-3
"""How far before a thing its foot is looked at."""
_ON_M = 5e-3
_FAR = 1e9


def standing(plane: Plane, things: Array) -> Array:
    """(k, 2, 2): lowest and highest u, v of the things (n, 2, 3) that stand on a plane."""
    on = things[:, 0 if plane.side == 0 else 1, plane.axis]
    found: Array = things[np.abs(on - plane.at) < _ON_M][:, :, plane.tangents]
    return found


def with_feet(lines: Array, feet: Array) -> Array:
    """Rising lines, and those just before each foot (k, 2), its lowest and highest place along them."""
    more = (feet + _FOOT_M * np.array([-1.0, 1.0])).ravel()
    return np.unique(np.concatenate([lines, more[(more > lines[0]) & (more < lines[-1])]]))


def beside(places: Array, feet: Array) -> Array:
    """Places (n, 2) on a surface; those in the feet (k, 2, 2) moved out to the nearest edge that is free."""
    found = places.copy()
    for foot in feet:
        inside = np.flatnonzero(_within(places, foot))
        moves = np.repeat(places[inside, None], 4, axis=1)
        for number, (side, along) in enumerate(np.ndindex(2, 2)):
            moves[:, number, along] = foot[side, along] + (_FOOT_M if side else -_FOOT_M)
        away = np.abs(moves - places[inside, None]).sum(axis=2)
        for other in feet:
            away = np.where(_within(moves, other), _FAR, away)
        found[inside] = moves[np.arange(len(inside)), away.argmin(axis=1)]
    return found


def _within(places: Array, foot: Array) -> Array:
    """Which places (..., 2) lie in a foot (2, 2), its edge included."""
    return np.asarray(((places > foot[0] - _FOOT_M / 2) & (places < foot[1] + _FOOT_M / 2)).all(axis=-1))
