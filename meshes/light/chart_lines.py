"""The grid lines of a chart of light: where they lie along a plane, and the points between to gather at."""

import numpy as np

from meshes.light.grid import graded_edges
from meshes.light.polygon import Array
from meshes.light.site import Site

_INSET_M = 0.002
"""Gathering points keep this far from edges, where a factor is a limit and not a number."""
_SHADED_M = 0.05
"""Lines lie no farther apart where things throw shadows."""


def display_points(edges: Array) -> Array:
    """Middles of cells and, a hair inside, both ends."""
    ends = inset(edges)[[0, -1]]
    return np.concatenate([ends[:1], (edges[1:] + edges[:-1]) / 2, ends[1:]])


def inset(lines: Array) -> Array:
    """Rising lines, the first and the last a hair inside: right on the edge of a solid nothing is hidden."""
    found = lines.copy()
    hair = min(_INSET_M, (lines[1] - lines[0]) / 4, (lines[-1] - lines[-2]) / 4)
    found[0] += hair
    found[-1] -= hair
    return found


def chart_lines(where: Site, axis: int, low: float, high: float, *, offset: tuple[int, float]) -> Array:
    """Grid lines of a chart along ``axis``: fine near lamps and, less so, near both ends.

    ``offset``: the chart's own axis and where it lies on it, to know how far off each lamp is.
    """

    def spacing(positions: Array) -> Array:
        """How far apart lines stand at each position [m]: by its way to the nearest lamp or end."""
        nearest = 0.6 * np.minimum(positions - low, high - positions) + 0.1
        for lamp in where.lamps:
            along, out = lamp.corners[:, axis], lamp.corners[:, offset[0]]
            if abs(lamp.normal[offset[0]]) > 0.999 and lamp.normal[offset[0]] * (offset[1] - out[0]) <= 0:
                continue  # this plane lies behind the lamp
            beside = np.minimum(np.abs(positions - along.min()), np.abs(positions - along.max()))
            off = max(0.0, out.min() - offset[1], offset[1] - out.max())
            nearest = np.minimum(nearest, np.hypot(beside, off))
        coarsest = (high - low) / 16
        if len(where.things):
            coarsest = max(min(coarsest, _SHADED_M), (high - low) / 120)
        return np.clip(0.12 * nearest, min(coarsest, max(0.008, (high - low) / 400)), coarsest)

    return graded_edges(low, high, spacing)
