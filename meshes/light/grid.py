"""Graded grid lines: fine along edges and near lamps, coarse where light changes slowly."""

from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise

import numpy as np

from meshes.light.faces import LampFace
from meshes.light.polygon import Array

_THIN_M = 1e-4
"""Strips beside the field thinner than this are no patches: less than a pixel in any picture of a room."""
_EDGE_M, _GROWTH = 0.17, 0.6
_NEAR_LAMP, _FINEST_M = 0.8, 0.08
_FLUSH_M, _FLUSH_EDGE_M = 0.1, 0.05
_SHARP_M = 0.08
"""Patches are this wide along edges and grow so fast inwards; near a lamp this share of the distance to
it.
"""


def graded_edges(low: float, high: float, spacing: Callable[[Array], Array]) -> Array:
    """Edges over [low, high] whose distances follow ``spacing`` (positions [m] -> wanted distance [m])."""
    fine = np.linspace(low, high, 2048)
    density = 1 / spacing(fine)
    count = np.concatenate([[0.0], np.cumsum((density[1:] + density[:-1]) / 2 * np.diff(fine))])
    cells = max(1, int(np.ceil(count[-1] - 0.25)))
    return np.asarray(np.interp(np.linspace(0, count[-1], cells + 1), count, fine))


def nearest_lit(box: Array, lamps: Sequence[LampFace], axis: int, positions: Array) -> Array:
    """Distance [m] from positions along ``axis`` on the room's planes to the nearest end of a lamp that
    lights them: along the middle of a long lamp, light changes slowly.
    """
    nearest = np.full(len(positions), np.inf)
    for lamp in lamps:
        low, high = lamp.corners.min(axis=0), lamp.corners.max(axis=0)
        beside = np.minimum(np.abs(positions - low[axis]), np.abs(positions - high[axis]))
        for other in range(3):
            if other == axis:
                continue
            for side, off in ((0, low[other] - box[other, 0]), (1, box[other, 1] - high[other])):
                towards = -1.0 if side == 0 else 1.0
                if abs(lamp.normal[other]) > 0.999 and lamp.normal[other] * towards < 0:
                    continue  # behind the lamp
                nearest = np.minimum(nearest, np.hypot(beside, max(0.0, off)))
    return nearest


def _flush_edge(lamps: Sequence[LampFace], axis: int, end: float) -> float:
    """Width of the first patch at one end [m]: fine where a lamp lies in the plane there, since what it gives
    the planes beside it rises from nothing at their edge.
    """
    for lamp in lamps:
        flush = np.abs(lamp.corners[:, axis] - end).max() < _FLUSH_M
        if flush and abs(lamp.normal[axis]) > 0.999:
            return _FLUSH_EDGE_M
    return _EDGE_M


def lines(
    box: Array, lamps: Sequence[LampFace], axis: int, breaks: Iterable[float], sharp: Sequence[float] = ()
) -> Array:
    """Grid lines along one axis of a box (3, 2) through ``breaks``: fine along these edges and near lamps,
    coarse between; finest along ``sharp`` breaks, where shadows begin.
    """
    low, high = (float(end) for end in box[axis])
    stops = [low]
    for stop in sorted(breaks):
        if stops[-1] + _THIN_M < stop < high - _THIN_M:
            stops.append(stop)
    stops.append(high)
    found = [np.array([low])]
    for start, stop in pairwise(stops):

        def spacing(positions: Array, ends: tuple[float, float] = (start, stop)) -> Array:
            inner = np.minimum(positions - ends[0], ends[1] - positions)
            near_lamp = np.maximum(_NEAR_LAMP * nearest_lit(box, lamps, axis, positions), _FINEST_M)
            below, above = (
                _SHARP_M
                if min(map(lambda at: abs(at - end), sharp), default=1.0) < _THIN_M
                else _flush_edge(lamps, axis, end)
                for end in ends
            )
            edge = np.minimum(below + positions - ends[0], above + ends[1] - positions)
            return np.minimum(np.minimum(_EDGE_M, edge) + _GROWTH * inner, near_lamp)

        found.append(graded_edges(start, stop, spacing)[1:])
    return np.concatenate(found)
