"""What lines a wall beside and between its slats, and what the body's outer sides are made of: plain
rectangles in the light frame, with the words of their reflectance.
"""

import numpy as np

from meshes.layout.setout import Rect, SetOut
from meshes.light.classes import class_of, shares
from meshes.light.polygon import Array
from meshes.solids.section import PLATE_THICKNESS_M

_SIDES = ("left", "right", "bottom", "top")


def _edges(rect: Rect, level: bool) -> list[float]:
    """Lowest a, b and highest a, b [m]."""
    x0, y0, x1, y1 = (float(value) / 1000 for value in (rect.left, rect.bottom, rect.right, rect.top))
    return [y0, x0, y1, x1] if level else [x0, y0, x1, y1]


def holes_of(set_out: SetOut, *, level: bool) -> Array:
    """(n, 6): each opening's lowest a, b and highest a, b, z of its bottom, and 1 where that is a plate.

    Cut-outs without a plate, a door say, show the wall; pieces that lie in several boards are one opening.
    """
    plates = [_edges(plate.rect, level) for plate in set_out.plates]
    floors = [float(plate.stands_out) / 1000 + PLATE_THICKNESS_M for plate in set_out.plates]
    found = [[*rect, floor, 1.0] for rect, floor in zip(plates, floors, strict=True)]
    bare: list[list[float]] = []
    for panel in set_out.panels:
        for cut in panel.cutouts:
            rect = _edges(cut, level)
            if not any(_touch(rect, plate, -1e-4) for plate in plates):
                _join(bare, rect)
    return np.array([*found, *([*rect, 0.0, 0.0] for rect in bare)], dtype=np.float64).reshape(-1, 6)


def _touch(one: list[float], other: list[float], reach: float) -> bool:
    return all(one[k] <= other[k + 2] + reach and other[k] <= one[k + 2] + reach for k in range(2))


def _join(rects: list[list[float]], rect: list[float]) -> None:
    """Add a rectangle, grown over those that it touches (boards part by a few millimetres)."""
    for other in rects:
        if _touch(rect, other, 0.005):
            rects.remove(other)
            grown = [min(rect[0], other[0]), min(rect[1], other[1])]
            _join(rects, [*grown, max(rect[2], other[2]), max(rect[3], other[3])])
            return
    rects.append(rect)


def lining_of(set_out: SetOut, *, level: bool) -> tuple[Array, Array]:
    """(n, 5) strips beside the slats with their class, the last on top; (4, classes) what the body's sides
    are made of: a low, a high, b low, b high.
    """
    strips = [(strip.rect, "shadow_gap") for strip in set_out.shadow_gaps]
    if set_out.skirting is not None and set_out.skirting_projection > 0:
        strips.append((set_out.skirting, "skirting"))
    strips += [(strip.rect, "trim") for strip in set_out.trims]
    rows = [[*_edges(rect, level), class_of(word)] for rect, word in strips]
    build_up = set_out.build_up
    total, slat = float(build_up.total), float(build_up.slat)
    pitch = float(set_out.slat_width + set_out.gap)
    wood = slat / total if total else 0.0
    cut = float(set_out.slat_width) / pitch * wood
    along = shares(slat_side=wood, panel_edge=1 - wood)
    across = shares(slat_end=cut, slat_side=wood - cut, panel_edge=1 - wood)
    trimmed = {strip.side for strip in set_out.trims}
    order = ("bottom", "top", "left", "right") if level else _SIDES
    plain = (along, along, across, across)
    edges = [shares(trim=1.0) if side in trimmed else mix for side, mix in zip(order, plain, strict=True)]
    return np.array(rows, dtype=np.float64).reshape(-1, 5), np.array(edges)
