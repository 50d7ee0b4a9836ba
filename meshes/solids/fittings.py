"""What the survey finds on the wall beside the slats, drawn plainly: doors, windows, radiators, cornices.

Sizes that the survey does not give are common practice. All are closed solids in the wall's own frame,
painted as the skirting is; panes and handles are as dark as a shadow gap. Light falls on them, and they give
none back.

A window, and a door with its architrave, from the room::

    +--+---------+--+      +-----------------+
    |  |         |  |      |   +---------+   |
    |  | leaf   o|  |      |   |  pane   |   |
    |  |         |  |      |   +---------+   |
    +--+---------+--+      +=================+   sill
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from meshes.layout.openings import opening_rect
from meshes.layout.setout import SetOut
from meshes.layout.survey import Opening, Wall
from meshes.solids.leaves import leaf_faces
from meshes.solids.quads import Floats, Quads, boxes, joined, prism, rectilinear
from meshes.solids.section import corners_m, metres
from meshes.surfaces import SURFACE_ID

Survey = tuple[Wall, Sequence[Opening]]
"""A wall as measured, with its openings."""

_PAINTED, _DARK = (SURFACE_ID["skirting"],) * 6, (SURFACE_ID["shadow_gap"],) * 6
_JOINT_M = 0.003
"""Seen between a leaf and its frame; it also keeps the two solids apart."""
_LEAF_M, _HANDLE_HEIGHT_M, _HANDLE_IN_M = 0.006, 1.05, 0.065
_FRAME_M, _FRAME_OUT_M, _PANE_M = 0.055, 0.022, 0.004
_SILL_M, _SILL_OUT_M = 0.03, 0.05
_WIDEST_PANE_M = 1.1
_COLUMN_M, _COLUMN_APART_M, _RAIL_M = 0.036, 0.048, 0.03
_RADIATOR_OFF_M, _RADIATOR_OUT_M = 0.03, 0.09
_STEPS = ((0.0, 0.6, 1.0), (0.6, 1.0, 0.55))
"""Profile of a cornice: from, to under the ceiling, and projection of each step, as shares of the whole."""
_HAIRLINE_M = 1e-5
"""Keeps pieces that meet two closed solids."""


def fitting_parts(survey: Survey, set_out: SetOut, *, leaves: bool = False) -> list[tuple[str, Quads]]:
    """Kind and faces of each fitting of a wall. leaves : those that fold back before the slats stand open."""
    wall, openings = survey
    found: list[tuple[str, Quads]] = []
    for opening in openings:
        edges = corners_m(opening_rect(opening))
        if opening.kind in ("door", "window") and opening.architrave_mm and opening.architrave_projection_mm:
            found.append(("architrave", _architrave(opening, edges)))
        if opening.leaf is not None and leaves:
            found.append(("doorway", _box(*edges, _PANE_M, _DARK)))
            found.append(("leaf", leaf_faces(opening, set_out)))
        elif opening.kind == "door":
            found += _door(opening, edges)
        elif opening.kind == "window":
            found += _window(edges)
        elif opening.kind == "radiator":
            found.append(("radiator", _radiator(edges)))
    if wall.cornice_mm and wall.cornice_projection_mm:
        level = (set_out.wall_height,) * 3
        left, middle, right = (metres(height) for height in set_out.ceiling or level)
        found.append(("cornice", _cornice(wall, metres(set_out.wall_width), (left, middle, right))))
    return found


def _box(
    x0: float, y0: float, x1: float, y1: float, out: float, ids: tuple[int, ...], back: float = 0.0
) -> Quads:
    return boxes(np.array([[x0, y0, back]]), np.array([[x1, y1, out]]), ids)


def _frame(xs: Floats, ys: Floats, out: float, holes: Sequence[tuple[int, int]]) -> Quads:
    """A grid of bars from the wall to ``out``, without the cells ``holes``."""
    filled = np.ones((len(xs) - 1, len(ys) - 1, 1), np.bool_)
    for i, j in holes:
        filled[i, j] = False
    return rectilinear(xs, ys, np.array([0.0, out]), filled, _PAINTED)


def _architrave(opening: Opening, edges: tuple[float, float, float, float]) -> Quads:
    """Round a door on three sides, round a window on four."""
    left, bottom, right, top = edges
    wide, out = metres(opening.architrave_mm), metres(opening.architrave_projection_mm)
    foot = [bottom - wide, bottom] if opening.kind == "window" else [bottom]
    xs, ys = np.array([left - wide, left, right, right + wide]), np.array([*foot, top, top + wide])
    return _frame(xs, ys, out, [(1, len(foot) - 1)])


def _door(opening: Opening, edges: tuple[float, float, float, float]) -> list[tuple[str, Quads]]:
    left, bottom, right, top = edges
    hinge = opening.leaf.hinge if opening.leaf else "left"
    leaf = _box(left + _JOINT_M, bottom + _JOINT_M, right - _JOINT_M, top - _JOINT_M, _LEAF_M, _PAINTED)
    if right - left < 0.3 or top - bottom < 1.3:
        return [("door", leaf)]
    height = bottom + _HANDLE_HEIGHT_M
    out = metres(opening.leaf.handle_mm) if opening.leaf else 0.06
    at, way = (right - _HANDLE_IN_M, -1.0) if hinge == "left" else (left + _HANDLE_IN_M, 1.0)
    near, far = sorted((at - 0.012 * way, at + 0.115 * way))
    plate = _box(at - 0.02, height - 0.1, at + 0.02, height + 0.07, _LEAF_M + 0.006, _DARK, _LEAF_M + 1e-4)
    lever = _box(near, height - 0.01, far, height + 0.01, out, _DARK, max(out - 0.018, _LEAF_M + 0.0062))
    return [("door", leaf), ("handle", joined([plate, lever]))]


def _window(edges: tuple[float, float, float, float]) -> list[tuple[str, Quads]]:
    """Frame, one pane or several beside each other, and a sill."""
    left, bottom, right, top = edges
    bar = min(_FRAME_M, (right - left) / 6, (top - bottom) / 6)
    panes = max(1, int(np.ceil((right - left - bar) / _WIDEST_PANE_M)))
    glass = (right - left - (panes + 1) * bar) / panes
    starts = left + np.arange(panes + 1) * (glass + bar)
    xs = np.sort(np.concatenate([starts, starts + bar]))
    foot = bottom + _SILL_M + 1e-4
    ys = np.array([foot, foot + bar, top - bar, top])
    holes = [(2 * number + 1, 1) for number in range(panes)]
    glazed = [
        _box(x + bar + 1e-4, ys[1] + 1e-4, x + bar + glass - 1e-4, ys[2] - 1e-4, _PANE_M, _DARK)
        for x in starts[:-1]
    ]
    sill = _box(left, bottom, right, bottom + _SILL_M, _SILL_OUT_M, _PAINTED)
    return [
        ("window", joined([_frame(xs, ys, _FRAME_OUT_M, holes), sill])),
        *(("pane", pane) for pane in glazed),
    ]


def _radiator(edges: tuple[float, float, float, float]) -> Quads:
    """Columns between two rails, a little off the wall."""
    left, bottom, right, top = edges
    rail = min(_RAIL_M, (top - bottom) / 4)
    number = max(1, int((right - left) / _COLUMN_APART_M))
    apart = (right - left) / number
    starts = left + apart * np.arange(number)
    gap = apart * (1 - _COLUMN_M / _COLUMN_APART_M)
    xs = np.sort(np.concatenate([starts + gap / 2, starts + apart - gap / 2]))
    ys = np.array([bottom, bottom + rail, top - rail, top])
    filled = np.ones((len(xs) - 1, 3, 1), np.bool_)
    filled[1::2, 1] = False
    return rectilinear(xs, ys, np.array([_RADIATOR_OFF_M, _RADIATOR_OUT_M]), filled, _PAINTED)


def _cornice(wall: Wall, width: float, ceiling_m: tuple[float, float, float]) -> Quads:
    """Along the wall under the ceiling, in two steps, the deeper one above; bent where the ceiling is."""
    high, out = metres(wall.cornice_mm), metres(wall.cornice_projection_mm)
    at, heights = [0.0, width / 2, width], list(ceiling_m)
    if ceiling_m[1] == (ceiling_m[0] + ceiling_m[2]) / 2:
        at, heights = at[::2], heights[::2]
    parts = []
    for (x0, x1), (y0, y1) in zip(pairwise(at), pairwise(heights), strict=True):
        for over, under, deep in _STEPS:
            foot = np.array([[x0, y0], [x1 - _HAIRLINE_M, y1]]) - [0.0, under * high]
            head = np.array([[x1 - _HAIRLINE_M, y1], [x0, y0]]) - [0.0, over * high + _HAIRLINE_M]
            outline = np.concatenate([foot, head])
            parts.append(prism(outline, 0.0, deep * out, SURFACE_ID["skirting"]))
    return joined(parts)
