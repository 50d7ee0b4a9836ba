"""Where in a pixel a view is sampled. Slats are a grating: on a regular grid they beat with the pixels.

So a pixel has n x n samples of which no two share a column or a row (here n = 3: nine columns, nine rows)::

    0 . . | . . . | . . .
    . . . | . . . | 6 . .
    . . . | 3 . . | . . .
    ------+-------+------       x of sample (i, j) = (i + (p(j) + 1/2) / n) / n
    . . 1 | . . . | . . .       y of sample (i, j) = (j + (p(i) + 1/2) / n) / n
    . . . | . . . | . . 7
    . . . | . . 4 | . . .       p scatters 0 .. n-1, so that a narrow strip of the pixel, too,
    ------+-------+------       holds samples from top to bottom
    . 2 . | . . . | . . .
    . . . | . . . | . 8 .
    . . . | . 5 . | . . .

and n rises with the number of slats in a pixel.
"""

import math

import numpy as np
from numpy.typing import NDArray

from meshes.solids.quads import Floats
from meshes.solids.scene import Scene
from meshes.solids.section import metres
from meshes.stills.camera import Camera

SAMPLES_A_PITCH = 120
"""Distinct sample columns in one pitch: an edge is then placed to 1/120 pitch, 0.8 % of the contrast."""

FEWEST, MOST = 4, 8
"""Samples along a pixel's side: four give edges seventeen steps; 64 samples a pixel are the most drawn."""

WIDE_BELOW_PX, BOX_FROM_PX = 2.0, 3.5
"""A slat or gap narrower than the first takes the wide filter, one wider than the second the box; between
them it is mixed."""


def samples_a_side(scene: Scene, camera: Camera, height: int) -> int:
    """How many samples along a pixel's side keep the slats from beating with the pixels."""
    pitch_px = smallest_pitch_px(scene, camera, height)
    return min(MOST, max(FEWEST, math.ceil(math.sqrt(SAMPLES_A_PITCH / pitch_px))))


def smallest_pitch_px(scene: Scene, camera: Camera, height: int) -> float:
    """Width of the narrowest pitch in the picture [px]: at the corner of a run that is farthest off."""
    focal = camera.focal_px(height)
    smallest = math.inf
    for set_out, frame in zip(scene.set_outs, scene.frames, strict=True):
        pitch = metres(set_out.pitch)
        face = set_out.face
        along = frame[:3, 0] if set_out.run == "upright" else frame[:3, 1]
        depth = metres(set_out.build_up.total)
        for x in (face.left, face.right):
            for y in (face.bottom, face.top):
                place = (frame @ [metres(x), metres(y), depth, 1])[:3]
                ray = place - camera.eye
                away = float(np.linalg.norm(ray))
                slant = float(np.linalg.norm(np.cross(ray / away, along)))
                smallest = min(smallest, focal * pitch * max(slant, 0.02) / away)
    return max(smallest, 0.05)


def wideness(
    scene: Scene,
    camera: Camera,
    focal_px: float,
    axis: int,
    part: NDArray[np.int32],
    position: Floats,
) -> Floats:
    """(n,) how far each sample takes the wide filter, 0 to 1, by how narrow slats and gaps are about it.

    axis : 0 across the picture, 1 up it; part, position : of the samples, as in ``GBuffer``.
    """
    walls = np.array([one.wall for one in scene.parts])
    turn = camera.world_from_camera[:3, :3]
    step, forward = turn[:, axis] / focal_px, -turn[:, 2]
    found = np.zeros(len(part))
    for number, (set_out, frame) in enumerate(zip(scene.set_outs, scene.frames, strict=True)):
        rows = np.flatnonzero(walls[part] == number)
        narrow = min(metres(set_out.gap), metres(set_out.slat_width))
        ray = position[rows] - camera.eye
        out, across = frame[:3, 2], frame[:3, 0 if set_out.run == "upright" else 1]
        # one pixel on moves a ray by this in the plane of the fronts, per metre of depth
        facing = np.minimum(ray @ out, -1e-6)
        moved = (ray @ forward) * np.abs(step @ across - (ray @ across) * (step @ out) / facing)
        narrow_px = narrow / np.maximum(moved, 1e-12)
        found[rows] = np.clip((BOX_FROM_PX - narrow_px) / (BOX_FROM_PX - WIDE_BELOW_PX), 0, 1)
    return found


def sample_offsets(side: int) -> list[tuple[float, float]]:
    """(x, y) of each sample in its pixel, from the top left, in (0, 1)."""
    p = _scattered(side)
    return [
        ((i + (p[j] + 0.5) / side) / side, (j + (p[i] + 0.5) / side) / side)
        for i in range(side)
        for j in range(side)
    ]


def _scattered(count: int) -> list[int]:
    """0 .. count - 1 with neighbours far apart: the ranks of the binary van der Corput sequence."""
    mirrored = [int(f"{number:04b}"[::-1], 2) for number in range(count)]
    return [sorted(mirrored).index(value) for value in mirrored]
