"""The figure as a view of a scene meets it: a stem for every slat, and the wood that each sample sees."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import GBuffer
from meshes.grain import wood
from meshes.solids.scene import Scene
from meshes.solids.section import corners_m, metres
from meshes.stems import Figure, Reals, Stems, stems

_AT_ONCE = 200_000
_COARSE_MM = 6.0
"""A pixel larger than this sees arches bend: it is taken in four parts."""


def scene_stems(scene: Scene, figure: Figure) -> Stems:
    """Stems for every slat of a scene, numbered as the scene numbers its slats."""
    found = []
    for number, set_out in enumerate(scene.set_outs):
        wall = replace(figure, seed=figure.seed + 1000 * number)
        width, depth = 1000 * metres(set_out.slat_width), 1000 * metres(set_out.slat_depth)
        found.append(stems(len(set_out.slats), width, depth, wall).numbers)
    return Stems(figure=figure, numbers=np.concatenate(found))


def figure_mask(scene: Scene, view: GBuffer, figure: Figure) -> tuple[Reals, Reals | None]:
    """(len(view),) shares of late wood and of knots at each sample of a view; 0 where no slat is seen.

    None for knots where the figure has none.
    """
    late, knots = np.zeros(len(view), np.float32), np.zeros(len(view), np.float32)
    slats = np.array([part.slat for part in scene.parts], np.int32)
    rows = np.flatnonzero((view.part >= 0) & (slats[view.part] >= 0))
    slat = slats[view.part[rows]]
    made = scene_stems(scene, figure)
    origin, turns, starts = slat_frames(scene)
    wall = np.searchsorted(starts, slat, side="right") - 1
    for number, turn in enumerate(turns):
        here = rows[wall == number] if len(turns) > 1 else rows
        own = slat[wall == number] if len(turns) > 1 else slat
        for some in np.array_split(np.arange(len(here)), len(here) // _AT_ONCE + 1):
            at, cut = here[some], own[some]
            place, sides = (view.position[at] - origin[cut]) @ turn, view.sample_sides(at) @ turn
            late[at], knots[at] = _over(made, cut, place, sides)
    return late, knots if knots.any() else None


def _over(made: Stems, slat: NDArray[np.int32], place: Reals, sides: Reals) -> tuple[Reals, Reals]:
    """``wood`` over pixels of any size."""
    late, knots = np.empty(len(slat), np.float32), np.empty(len(slat), np.float32)
    coarse = np.abs(sides).max(axis=(1, 2)) > _COARSE_MM
    for rows, parts in ((np.flatnonzero(~coarse), 1), (np.flatnonzero(coarse), 2)):
        shift = (np.arange(parts) + 0.5) / parts - 0.5
        own, half = slat[rows], (sides[rows] / parts).astype(np.float32)
        found = [
            wood(made, own, (place[rows] + a * sides[rows, 0] + b * sides[rows, 1]).astype(np.float32), half)
            for a in shift
            for b in shift
        ]
        late[rows] = sum(one for one, _ in found) / parts**2
        knots[rows] = sum(one for _, one in found) / parts**2
    return late, knots


def slat_frames(scene: Scene) -> tuple[Reals, list[Reals], NDArray[np.int64]]:
    """Middle of each slat's back at its start (n, 3) [m]; of each wall, columns across, out and along (3, 3)
    [mm/m], and the number of its first slat."""
    origins, turns, counts = [], [], [0]
    for set_out, frame in zip(scene.set_outs, scene.frames, strict=True):
        x, y, z = frame[:3, 0], frame[:3, 1], frame[:3, 2]
        upright = set_out.run == "upright"
        turn = np.column_stack([x, z, y] if upright else [y, z, x])
        back = metres(set_out.build_up.fabric_face)
        for slat in set_out.slats:
            left, bottom, right, top = corners_m(slat.extent)
            at = [(left + right) / 2, bottom] if upright else [left, (bottom + top) / 2]
            origins.append(frame[:3, :3] @ [*at, back] + frame[:3, 3])
        turns.append((1000 * turn).astype(np.float32))
        counts.append(len(set_out.slats))
    return np.array(origins, np.float32), turns, np.cumsum(counts)[:-1]
