"""The solids of one set-out wall, in its own frame [m]: slats, boards, fabric, trims, skirting, plates."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import Panel, Rect, SetOut, Strip
from meshes.solids.quads import UNSEEN, Floats, Quads, boxes, joined, rectilinear
from meshes.solids.section import PLATE_THICKNESS_M, SHADOW_STRIP_M, Depths, corners_m, depths, metres
from meshes.surfaces import SURFACE_ID

_NO_ROOM_M = 1e-6
"""Cloth thinner than a thousandth of a millimetre is a rounding error, not cloth."""

_STEPS_SEED = 20
"""Any number: the same wall always shows the same steps."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Parts of one kind: ``faces[starts[i] : starts[i + 1]]`` belong to the i-th part."""

    kind: str
    faces: Quads
    starts: NDArray[np.int64]
    """(parts + 1,) rising."""


def wall_groups(set_out: SetOut, steps_mm: float = 0.0) -> list[Group]:
    """Every kind of part on the wall, in the order in which GLB names are counted.

    steps_mm : slats stand up to so much before or behind each other, as they do on a wall that is not packed
    out perfectly.
    """
    plane = depths(set_out.build_up)
    return [
        slats(set_out, plane, steps_mm),
        *boards(set_out, plane),
        _strips("trim", set_out.trims, plane.face),
        _strips("shadow_gap", set_out.shadow_gaps, SHADOW_STRIP_M),
        _skirting(set_out),
        _plates(set_out, plane),
    ]


def _alike(surface: str) -> tuple[int, ...]:
    return (SURFACE_ID[surface],) * 6


def _prisms(kind: str, rects: Sequence[Rect], back: float, face: float, ids: tuple[int, ...]) -> Group:
    """One box for each rectangle, from ``back`` to ``face`` out of the wall."""
    edges = np.array([corners_m(rect) for rect in rects], dtype=np.float64).reshape(-1, 4)
    faces = boxes(_with_depth(edges[:, :2], back), _with_depth(edges[:, 2:], face), ids)
    return Group(kind=kind, faces=faces, starts=6 * np.arange(len(rects) + 1))


def _with_depth(xy: Floats, z: float) -> Floats:
    return np.column_stack([xy, np.full(len(xy), z)])


def slats(set_out: SetOut, plane: Depths, steps_mm: float = 0.0) -> Group:
    """One part a slat, one box a piece; a slat that openings used up altogether is a part without faces.

    Sides are the two long faces along the gap, ends lie across the run, whichever way the slats run.
    """
    side, end, front = (SURFACE_ID[word] for word in ("slat_side", "slat_end", "slat_front"))
    upright = set_out.run == "upright"
    along_x, along_y = (side, end) if upright else (end, side)
    pieces = [piece for slat in set_out.slats for piece in slat.pieces]
    ids = (along_x, along_x, along_y, along_y, UNSEEN, front)
    group = _prisms("slat", pieces, plane.fabric_face, plane.face, ids)
    counts = np.array([0, *(len(slat.pieces) for slat in set_out.slats)], dtype=np.int64)
    if steps_mm:
        steps = np.random.default_rng(_STEPS_SEED).choice([-1, 0, 1], len(set_out.slats)) * steps_mm / 1000
        fronts = group.faces.corners[:, :, 2] > plane.fabric_face + 1e-9
        moved = np.repeat(np.repeat(steps, counts[1:]), 6)[:, None]
        group.faces.corners[:, :, 2] += np.where(fronts, moved, 0.0)
    return Group(kind="slat", faces=group.faces, starts=6 * np.cumsum(counts))


def boards(set_out: SetOut, plane: Depths) -> tuple[Group, Group]:
    """Boards with their cut-outs, and the cloth: over the face and round the outer edges of each board.

    The cloth on an edge is as thick as on the face, or as half the joint leaves room for.
    """
    board_faces: list[Quads] = []
    cloth_faces: list[Quads] = []
    cloth = plane.fabric_face - plane.board_face
    edge = SURFACE_ID["panel_edge"]
    fabric = SURFACE_ID["fabric"]
    for panel, room_round in zip(set_out.panels, _room_round(set_out), strict=True):
        xs, ys, outline = _cells(panel, (0.0, 0.0, 0.0, 0.0))
        if plane.board_face > plane.board_back:
            zs = np.array([plane.board_back, plane.board_face])
            ids = (edge, edge, edge, edge, UNSEEN, UNSEEN if cloth > 0 else edge)
            board_faces.append(rectilinear(xs, ys, zs, outline[:, :, None], ids))
        if cloth <= 0:
            continue
        rim = tuple(min(cloth, space) if space > _NO_ROOM_M else 0.0 for space in room_round)
        xs, ys, covered = _cells(panel, (rim[0], rim[1], rim[2], rim[3]))
        left, bottom, right, top = corners_m(panel.board)
        middle_x, middle_y = (xs[:-1] + xs[1:]) / 2, (ys[:-1] + ys[1:]) / 2
        on_board = ((middle_x > left) & (middle_x < right))[:, None] & (
            (middle_y > bottom) & (middle_y < top)
        )[None, :]
        if plane.board_face > plane.board_back:
            filled = np.stack([covered & ~on_board, covered], axis=2)
            zs = np.array([plane.board_back, plane.board_face, plane.fabric_face])
        else:
            filled, zs = covered[:, :, None], np.array([plane.board_face, plane.fabric_face])
        cloth_faces.append(rectilinear(xs, ys, zs, filled, (fabric,) * 4 + (UNSEEN, fabric)))
    return _group("panel", board_faces), _group("fabric", cloth_faces)


def _group(kind: str, parts: list[Quads]) -> Group:
    counts = np.array([0, *(len(part) for part in parts)], dtype=np.int64)
    return Group(kind=kind, faces=joined(parts), starts=np.cumsum(counts))


def _room_round(set_out: SetOut) -> list[tuple[float, float, float, float]]:
    """Room for cloth beside each board [m]: left, right, bottom, top; half the joint, or up to the face."""
    face = corners_m(set_out.face)
    edges = [corners_m(panel.board) for panel in set_out.panels]
    found = []
    for index, (left, bottom, right, top) in enumerate(edges):
        before = [other for k, other in enumerate(edges) if k != index and other[2] <= left + 1e-9]
        after = [other for k, other in enumerate(edges) if k != index and other[0] >= right - 1e-9]
        below = [other for k, other in enumerate(edges) if k != index and other[3] <= bottom + 1e-9]
        above = [other for k, other in enumerate(edges) if k != index and other[1] >= top - 1e-9]
        found.append(
            (
                (left - max(e[2] for e in before)) / 2 if before else max(0.0, left - face[0]),
                (min(e[0] for e in after) - right) / 2 if after else max(0.0, face[2] - right),
                (bottom - max(e[3] for e in below)) / 2 if below else max(0.0, bottom - face[1]),
                (min(e[1] for e in above) - top) / 2 if above else max(0.0, face[3] - top),
            )
        )
    return found


def _cells(panel: Panel, rim: tuple[float, float, float, float]) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Grid planes and the cells of a board, ``rim`` wider on its left, right, bottom and top."""
    left, bottom, right, top = corners_m(panel.board)
    holes = [corners_m(hole) for hole in panel.cutouts]
    outer = (left - rim[0], bottom - rim[2], right + rim[1], top + rim[3])
    xs = [left, right, outer[0], outer[2], *(x for hole in holes for x in (hole[0], hole[2]))]
    ys = [bottom, top, outer[1], outer[3], *(y for hole in holes for y in (hole[1], hole[3]))]
    grid_x = np.unique(np.clip(xs, outer[0], outer[2]))
    grid_y = np.unique(np.clip(ys, outer[1], outer[3]))
    filled = np.ones((len(grid_x) - 1, len(grid_y) - 1), dtype=np.bool_)
    middle_x, middle_y = (grid_x[:-1] + grid_x[1:]) / 2, (grid_y[:-1] + grid_y[1:]) / 2
    for x0, y0, x1, y1 in holes:
        # a hole that runs out over the board's edge takes the cloth on that edge with it
        x0, x1 = (outer[0] if x0 <= left else x0), (outer[2] if x1 >= right else x1)
        y0, y1 = (outer[1] if y0 <= bottom else y0), (outer[3] if y1 >= top else y1)
        inside = ((middle_x > x0) & (middle_x < x1))[:, None] & ((middle_y > y0) & (middle_y < y1))[None, :]
        filled &= ~inside
    return grid_x, grid_y, filled


def _strips(kind: str, strips: Sequence[Strip], face: float) -> Group:
    return _prisms(kind, [strip.rect for strip in strips], 0.0, face, _alike(kind))


def _skirting(set_out: SetOut) -> Group:
    depth = metres(set_out.skirting_projection)
    rects = [set_out.skirting] if set_out.skirting is not None and depth > 0 else []
    return _prisms("skirting", rects, 0.0, depth, _alike("skirting"))


def _plates(set_out: SetOut, plane: Depths) -> Group:
    """Cover plates on the board; the solid reaches back to the wall, as the extended box behind does."""
    rects = [plate.rect for plate in set_out.plates]
    return _prisms("plate", rects, 0.0, plane.fabric_face + PLATE_THICKNESS_M, _alike("plate"))
