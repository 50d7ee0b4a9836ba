"""The solids of one set-out wall, in its own frame [m]: slats, boards, fabric, trims, skirting, plates."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import Panel, Rect, SetOut, Strip
from meshes.solids.quads import UNSEEN, Floats, Quads, boxes, joined, prism, rectilinear, sloped
from meshes.solids.section import PLATE_THICKNESS_M, SHADOW_STRIP_M, Depths, corners_m, depths, metres
from meshes.surfaces import SURFACE_ID

_HAIRLINE_M = 2e-5
"""What a planed joint between two lengths of a slat leaves open; it keeps them two closed solids."""

_SLIVER_M = 1e-4
"""A scribed strip is never thinner: nothing could be cut to less, and the solid stays one."""

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
        _trims(set_out, plane),
        _shadow_gaps(set_out),
        _skirting(set_out),
        _plates(set_out),
    ]


def _alike(surface: str) -> tuple[int, ...]:
    return (SURFACE_ID[surface],) * 6


def _prisms(kind: str, rects: Sequence[Rect], face: float, ids: tuple[int, ...]) -> Group:
    """One box for each rectangle, from the wall to ``face``."""
    edges = np.array([corners_m(rect) for rect in rects], dtype=np.float64).reshape(-1, 4)
    low = np.column_stack([edges[:, :2], np.zeros(len(edges))])
    high = np.column_stack([edges[:, 2:], np.full(len(edges), face)])
    return Group(kind=kind, faces=boxes(low, high, ids), starts=6 * np.arange(len(rects) + 1))


def slats(set_out: SetOut, plane: Depths, steps_mm: float = 0.0) -> Group:
    """One part a slat, one solid a piece; a slat that openings used up altogether is a part without faces.

    Tops are cut to a ceiling that slopes where slats are swept to it. Sides are the two long faces along the
    gap, ends lie across the run, whichever way the slats run. Pieces that meet in a joint are two solids a
    hairline apart.
    """
    side, end, front = (SURFACE_ID[word] for word in ("slat_side", "slat_end", "slat_front"))
    upright = set_out.run == "upright"
    along_x, along_y = (side, end) if upright else (end, side)
    pieces = [piece for slat in set_out.slats for piece in slat.pieces]
    counts = np.array([len(slat.pieces) for slat in set_out.slats], dtype=np.int64)
    edges = np.array([corners_m(piece) for piece in pieces], dtype=np.float64).reshape(-1, 4)
    axis = 1 if upright else 0
    slat = np.repeat(np.arange(len(counts)), counts)
    joint = np.flatnonzero((slat[1:] == slat[:-1]) & (edges[1:, axis] == edges[:-1, axis + 2]))
    edges[joint, axis + 2] -= _HAIRLINE_M / 2
    edges[joint + 1, axis] += _HAIRLINE_M / 2
    faces = np.full(len(edges), plane.face)
    if steps_mm:
        steps = np.random.default_rng(_STEPS_SEED).choice([-1, 0, 1], len(counts)) * steps_mm / 1000
        faces = faces + steps[slat]
    ids = (along_x, along_x, along_y, along_y, UNSEEN, front)
    backs = np.full(len(edges), plane.fabric_face)
    solids = boxes(np.column_stack([edges[:, :2], backs]), np.column_stack([edges[:, 2:], faces]), ids)
    if any(any(slat.rise) for slat in set_out.slats):
        rises = [slat.rise_of(piece) for slat in set_out.slats for piece in slat.pieces]
        solids = sloped(solids, np.array([[metres(left), metres(right)] for left, right in rises]))
    return Group(kind="slat", faces=solids, starts=6 * np.concatenate([[0], np.cumsum(counts)]))


def boards(set_out: SetOut, plane: Depths) -> tuple[Group, Group]:
    """Boards with their cut-outs, and the cloth over their faces and round their outer edges."""
    board_faces: list[Quads] = []
    cloth_faces: list[Quads] = []
    cloth = plane.fabric_face - plane.board_face
    solid = plane.board_face > plane.board_back
    edge, fabric = SURFACE_ID["panel_edge"], SURFACE_ID["fabric"]
    for panel in set_out.panels:
        if solid:
            xs, ys, outline = _cells(panel, 0.0)
            zs = np.array([plane.board_back, plane.board_face])
            ids = (edge, edge, edge, edge, UNSEEN, UNSEEN if cloth > 0 else edge)
            board_faces.append(rectilinear(xs, ys, zs, outline[:, :, None], ids))
        if cloth > 0:
            cloth_faces.append(_cloth(panel, plane, fabric))
    return _group("panel", board_faces), _group("fabric", cloth_faces)


def _cloth(panel: Panel, plane: Depths, fabric: int) -> Quads:
    xs, ys, covered = _cells(panel, metres(panel.wrap))
    ids = (fabric, fabric, fabric, fabric, UNSEEN, fabric)
    if plane.board_face <= plane.board_back:
        return rectilinear(xs, ys, np.array([plane.board_face, plane.fabric_face]), covered[:, :, None], ids)
    left, bottom, right, top = corners_m(panel.board)
    middle_x, middle_y = (xs[:-1] + xs[1:]) / 2, (ys[:-1] + ys[1:]) / 2
    across, up = (middle_x > left) & (middle_x < right), (middle_y > bottom) & (middle_y < top)
    round_it = covered & ~(across[:, None] & up[None, :])
    zs = np.array([plane.board_back, plane.board_face, plane.fabric_face])
    return rectilinear(xs, ys, zs, np.stack([round_it, covered], axis=2), ids)


def _group(kind: str, parts: list[Quads]) -> Group:
    counts = np.array([0, *(len(part) for part in parts)], dtype=np.int64)
    return Group(kind=kind, faces=joined(parts), starts=np.cumsum(counts))


def _cells(panel: Panel, rim: float) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Grid planes and the cells of a board, ``rim`` [m] wider all round."""
    left, bottom, right, top = corners_m(panel.board)
    holes = [corners_m(hole) for hole in panel.cutouts]
    outer = (left - rim, bottom - rim, right + rim, top + rim)
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


def _shadow_gaps(set_out: SetOut) -> Group:
    """Dark strips in the recesses. Beside a wall out of plumb the strip is as wide as the recess there."""
    parts = [
        prism(strip_outline(set_out, strip), 0.0, SHADOW_STRIP_M, SURFACE_ID["shadow_gap"])
        for strip in set_out.shadow_gaps
    ]
    return _group("shadow_gap", parts)


def strip_outline(set_out: SetOut, strip: Strip) -> Floats:
    """Corners (4, 2) [m] of a strip at the side of the run, out to a wall that is out of plumb."""
    left, bottom, right, top = corners_m(strip.rect)
    heads = top + metres(strip.rise[0]), top + metres(strip.rise[1])
    foot, head = leaning(set_out, strip.side)
    outer = heads[0 if strip.side == "left" else 1]
    lower, upper = (
        foot + (head - foot) * y / metres(set_out.wall_height) if foot or head else 0.0
        for y in (bottom, outer)
    )
    found = np.array([[left, bottom], [right, bottom], [right, heads[1]], [left, heads[0]]])
    if strip.side == "left":
        found[[0, 3], 0] -= lower, upper
    if strip.side == "right":
        found[[1, 2], 0] += lower, upper
    return found


def leaning(set_out: SetOut, side: str) -> tuple[float, float]:
    """How far the wall at a side stands off the run's end at the floor and at the ceiling [m].

    The run is measured where the wall is narrowest: a wall that leans in at the top stands back at the foot.
    """
    if side not in ("left", "right"):
        return 0.0, 0.0
    lean = metres(set_out.leans[0 if side == "left" else 1])
    return max(lean, 0.0), max(-lean, 0.0)


def _trims(set_out: SetOut, plane: Depths) -> Group:
    """Trims, returns, posts and plinths; and, where a slat stands against a wall out of plumb, the scribed
    strip that fills the wedge between them, as deep as the boards."""
    framed = {strip.side for strip in (*set_out.trims, *set_out.shadow_gaps)}
    parts = []
    for strip in set_out.trims:
        edges = corners_m(strip.rect)
        box = boxes(np.array([[*edges[:2], 0.0]]), np.array([[*edges[2:], plane.face]]), _alike("trim"))
        rises = np.array([[metres(rise) for rise in strip.rise]])
        parts.append(sloped(box, rises) if any(strip.rise) else box)
    left, bottom, right, top = corners_m(set_out.face)
    for side, x in (("left", left), ("right", right)):
        if side in framed or not any(leaning(set_out, side)):
            continue
        if set_out.sweep is not None:
            top = metres(set_out.sweep.at(set_out.face.left if side == "left" else set_out.face.right))
        out = -1.0 if side == "left" else 1.0
        lower, upper = (max(width, _SLIVER_M) * out for width in leaning(set_out, side))
        outline = np.array([[x, bottom], [x + lower, bottom], [x + upper, top], [x, top]])
        parts.append(prism(outline if out > 0 else outline[::-1], 0.0, plane.fabric_face, SURFACE_ID["trim"]))
    return _group("trim", parts)


def _skirting(set_out: SetOut) -> Group:
    depth = metres(set_out.skirting_projection)
    rects = [set_out.skirting] if set_out.skirting is not None and depth > 0 else []
    return _prisms("skirting", rects, depth, _alike("skirting"))


def _plates(set_out: SetOut) -> Group:
    """Cover plates where they sit: in a pocket, on the board or on a pad level with the slats.

    Each solid reaches back to the wall, as the extended box behind the plate does.
    """
    parts = []
    for plate in set_out.plates:
        left, bottom, right, top = corners_m(plate.rect)
        face = metres(plate.stands_out) + PLATE_THICKNESS_M
        parts.append(boxes(np.array([[left, bottom, 0.0]]), np.array([[right, top, face]]), _alike("plate")))
    return _group("plate", parts)
