"""What a client will see later, as lines to be marked in a picture: joints, shadow gaps, plates, overhangs.

The picture itself shows these things where the set-out puts them; a mark says where to look.
"""

from dataclasses import dataclass
from itertools import pairwise, permutations
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import GBuffer
from meshes.layout.setout import SetOut
from meshes.solids.quads import Floats
from meshes.solids.scene import Scene
from meshes.solids.section import PLATE_THICKNESS_M, corners_m, depths, metres
from meshes.solids.wall import strip_outline
from meshes.stills.camera import Camera

Kind = Literal["joint", "shadow gap", "plate", "skirting overhang", "ceiling line"]

_STEP_PX = 0.5
_TOLERANCE_M = 0.004
"""A mark counts as seen unless all that its pixel shows lies nearer than it by more than this."""

_WIDEST_JOINT_M = 0.02
"""Boards farther apart than this do not meet in a joint."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One line.

    mm : what a sentence about it needs, a gap's width at foot and head, or an overhang; pieces : the visible
    stretches, each (n, 2) float64 [px], columns from the left and rows from the top.
    """

    kind: Kind
    mm: tuple[float, ...]
    pieces: tuple[Floats, ...]


def marks(scene: Scene, camera: Camera, view: GBuffer) -> tuple[Mark, ...]:
    """The marks of every wall that the view shows, those out of sight left out."""
    found = []
    reach = _reach(view)
    for set_out, frame in zip(scene.set_outs, scene.frames, strict=True):
        for kind, mm, line in lines(set_out):
            world = line @ frame[:3, :3].T + frame[:3, 3]
            pieces = _visible(world, camera, view, reach)
            if pieces:
                found.append(Mark(kind=kind, mm=mm, pieces=pieces))
    return tuple(found)


def lines(set_out: SetOut) -> list[tuple[Kind, tuple[float, ...], Floats]]:
    """Kind, measures [mm] and line (n, 3) [m] in the wall's frame of everything worth a mark."""
    plane = depths(set_out.build_up)
    found: list[tuple[Kind, tuple[float, ...], Floats]] = []
    found += [("joint", (), line) for line in _joints(set_out, plane.fabric_face)]
    found += [("joint", (), line) for line in _slat_joints(set_out, plane.face)]
    for strip in set_out.shadow_gaps:
        ring = strip_outline(set_out, strip)
        measures = _widths(ring, upright=strip.side in ("left", "right"))
        found.append(("shadow gap", measures, _ring(ring, 0.0)))
    for plate in set_out.plates:
        left, bottom, right, top = corners_m(plate.rect)
        ring = np.array([[left, bottom], [right, bottom], [right, top], [left, top]])
        found.append(("plate", (), _ring(ring, metres(plate.stands_out) + PLATE_THICKNESS_M)))
    left, bottom, right, top = corners_m(set_out.face)
    overhang = plane.face - metres(set_out.skirting_projection)
    if set_out.skirting is not None and overhang > 0:
        edge = np.array([[left, bottom, plane.face], [right, bottom, plane.face]])
        found.append(("skirting overhang", (round(1000 * overhang, 1),), edge))
    found.append(("ceiling line", (), _tops(set_out, plane.face)))
    return found


def _widths(ring: Floats, *, upright: bool) -> tuple[float, float]:
    """Width of a strip at its foot and at its head [mm]; of one that lies, at its left and right end."""
    low_left, low_right, high_right, high_left = ring
    ends = ((low_left, low_right), (high_left, high_right))
    if not upright:
        ends = ((low_left, high_left), (low_right, high_right))
    first, last = (round(1000 * float((two - one)[0 if upright else 1]), 1) for one, two in ends)
    return first, last


def _ring(corners: Floats, z: float) -> Floats:
    flat = np.concatenate([corners, corners[:1]])
    return np.column_stack([flat, np.full(len(flat), z)])


def _joints(set_out: SetOut, z: float) -> list[Floats]:
    """Joints between neighbouring boards that no slat covers along their whole length."""
    boards = [corners_m(part) for panel in set_out.panels for part in (panel.parts or (panel.board,))]
    slats = [corners_m(slat.extent) for slat in set_out.slats]
    found = []
    for axis in (0, 1):  # boards side by side, then one above the other
        other = 1 - axis
        for one, two in permutations(boards, 2):
            apart = two[axis] - one[axis + 2]
            low, high = max(one[other], two[other]), min(one[other + 2], two[other + 2])
            if not -1e-9 <= apart <= _WIDEST_JOINT_M or high <= low:
                continue
            at = (one[axis + 2] + two[axis]) / 2
            if any(
                slat[axis] < at < slat[axis + 2] and slat[other] <= low and slat[other + 2] >= high
                for slat in slats
            ):
                continue
            ends = [[at, low], [at, high]] if axis == 0 else [[low, at], [high, at]]
            found.append(np.column_stack([np.array(ends), [z, z]]))
    return found


def _slat_joints(set_out: SetOut, z: float) -> list[Floats]:
    """Where a slat longer than its stock is joined: across the slat, on its face."""
    axis = 1 if set_out.run == "upright" else 0
    found = []
    for slat in set_out.slats:
        for one, two in pairwise(corners_m(piece) for piece in slat.pieces):
            if one[axis + 2] == two[axis]:
                at = two[axis]
                ends = [[one[0], at], [one[2], at]] if axis == 1 else [[at, one[1]], [at, one[3]]]
                found.append(np.column_stack([np.array(ends), [z, z]]))
    return found


def _tops(set_out: SetOut, z: float) -> Floats:
    """The line along the heads of the slats, in the order in which they stand."""
    if set_out.run == "level":
        left, _, right, top = corners_m(set_out.face)
        return np.array([[left, top, z], [right, top, z]])
    points = []
    for slat in set_out.slats:
        for piece in slat.pieces[-1:]:
            left, _, right, top = corners_m(piece)
            rises = slat.rise_of(piece)
            points += [[left, top + metres(rises[0]), z], [right, top + metres(rises[1]), z]]
    return np.array(points).reshape(-1, 3)


def _reach(view: GBuffer) -> NDArray[np.float32]:
    """(h, w) distance from the eye to the farthest thing that each pixel shows [m]."""
    away = np.linalg.norm(view.position - view.eye, axis=1).astype(np.float32)
    starts = np.flatnonzero(np.diff(view.pixel, prepend=-1))
    found: NDArray[np.float32] = np.maximum.reduceat(away, starts).reshape(view.height, view.width)
    return found


def _visible(world: Floats, camera: Camera, view: GBuffer, reach: NDArray[np.float32]) -> tuple[Floats, ...]:
    """The stretches (n, 2) [px] of a line that lie in the picture and before everything else."""
    focal = camera.focal_px(view.height)
    pieces: list[Floats] = []
    for start, end in pairwise(world):
        ends = (np.array([start, end]) - camera.eye) @ camera.world_from_camera[:3, :3]
        near = np.minimum(ends[:, 2], -1e-3)
        length_px = np.hypot(*np.diff(focal * ends[:, :2] / -near[:, None], axis=0)[0])
        share = np.linspace(0, 1, int(np.clip(length_px / _STEP_PX, 1, 20_000)) + 1)[:, None]
        points = start + share * (end - start)
        local = (points - camera.eye) @ camera.world_from_camera[:3, :3]
        ahead = local[:, 2] < -1e-3
        depth = np.where(ahead, -local[:, 2], 1.0)
        across = view.width / 2 + focal * local[:, 0] / depth
        down = view.height / 2 - focal * local[:, 1] / depth
        inside = ahead & (across >= 0) & (across < view.width) & (down >= 0) & (down < view.height)
        column = np.clip(across, 0, view.width - 1).astype(np.intp)
        row = np.clip(down, 0, view.height - 1).astype(np.intp)
        away = np.linalg.norm(points - camera.eye, axis=1)
        seen = inside & (away <= reach[row, column] + _TOLERANCE_M)
        edges = np.flatnonzero(np.diff(np.concatenate([[0], seen.astype(np.int8), [0]])))
        flat = np.column_stack([across, down])
        pieces += [flat[a:b] for a, b in zip(edges[::2], edges[1::2], strict=True) if b - a > 1]
    return tuple(pieces)
