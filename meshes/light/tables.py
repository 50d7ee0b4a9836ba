"""Reading tables of light between their lines."""

import numpy as np
from numpy.typing import NDArray

from meshes.light.charts import Chart, GrooveGroup, Group
from meshes.light.polygon import Array

Floats = NDArray[np.float32]
Rows = NDArray[np.intp] | slice
ALL = slice(None)
"""Every row: a choice that copies nothing."""

_CHUNK = 1 << 14
_ROUNDING = 1e-4
"""Share of the way between two stations: single precision tells places of a wall no better apart."""


def place(lines: Array, at: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Lower line and share towards the next for positions along grid lines."""
    lower = np.clip(np.searchsorted(lines, at) - 1, 0, len(lines) - 2)
    share = (at - lines[lower]) / (lines[lower + 1] - lines[lower])
    return lower, np.clip(share, 0, 1).astype(np.float32)


def chart_values(chart: Chart, points: Floats) -> Floats:
    """Bilinear values (n, r) of a chart at points (n, 3) of the light frame."""
    first, second = (axis for axis in range(3) if axis != chart.axis)
    table = chart.table.reshape(-1, chart.table.shape[-1])
    stride = chart.table.shape[1]
    found = np.empty((len(points), table.shape[1]), np.float32)
    for start in range(0, len(points), _CHUNK):
        part = slice(start, start + _CHUNK)
        i, s = place(chart.u, points[part, first])
        j, t = place(chart.v, points[part, second])
        at = i * stride + j
        s, t = s[:, None], t[:, None]
        near = between_rows(table, at, t)
        found[part] = near + s * (between_rows(table, at + stride, t) - near)
    return found


def between_rows(table: Floats, row: NDArray[np.intp], share: Floats) -> Floats:
    """Values (n, r) a ``share`` (n, 1) of the way from a row of a table to the next."""
    found = table.take(row, axis=0)
    after = table.take(row + 1, axis=0)
    after -= found
    after *= share
    found += after
    return found


def groove_values(
    group: GrooveGroup, lines: tuple[Array, Array], middle: Floats, along: Floats, node: Floats, nodes: slice
) -> Floats:
    """Values (n, r) inside the gaps: ``middle`` of the gap, position ``along`` it, fractional ``node``.

    lines : places of the stations across and along.
    """
    table = group.table[:, :, nodes]
    sa, sb, count, r = table.shape
    flat = np.ascontiguousarray(table).reshape(-1, r)
    found = np.empty((len(middle), r), np.float32)
    for start in range(0, len(middle), _CHUNK):
        part = slice(start, start + _CHUNK)
        if sa > 1:
            i, s = place(lines[0], middle[part])
            # a gap that is a station itself lies on it but for rounding, and needs no other
            i, s = i + (s > 1 - _ROUNDING), np.where(np.abs(s - 0.5) > 0.5 - _ROUNDING, np.float32(0), s)
        else:
            i, s = np.zeros(len(middle[part]), np.intp), np.zeros(len(middle[part]), np.float32)
        j, t = place(lines[1], along[part])
        k = np.clip(node[part].astype(np.intp), 0, count - 2)
        f = (node[part] - k)[:, None]
        t = t[:, None]
        value = np.zeros((len(i), r), np.float32)
        for column, share in ((i, 1 - s), (np.minimum(i + 1, sa - 1), s)):
            if not share.any():
                continue
            at = (column * sb + j) * count + k
            near = between_rows(flat, at, f)
            near += t * (between_rows(flat, at + count, f) - near)
            value += share[:, None] * near
        found[part] = value
    return found


def by_normal(group: Group, points: Floats, normals: Floats) -> Floats:
    """Values of whichever chart of the group faces as each point does; of several, the nearest."""
    found = np.zeros((len(points), group.mix.shape[0]), np.float32)
    nearest = np.full(len(points), np.inf)
    for chart in group.charts:
        facing = normals @ np.asarray(chart.normal, np.float32) > 0.7
        away = np.abs(points[:, chart.axis] - chart.at)
        first, second = (axis for axis in range(3) if axis != chart.axis)
        for axis, lines in ((first, chart.u), (second, chart.v)):
            away = away + np.maximum(np.maximum(lines[0] - points[:, axis], points[:, axis] - lines[-1]), 0)
        rows = np.flatnonzero(facing & (away < nearest))
        if len(rows):
            found[rows] = chart_values(chart, points[rows])
            nearest[rows] = away[rows]
    return found
