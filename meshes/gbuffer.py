"""What each pixel of a view sees, as a list of weighted samples: where stills, figure and light meet.

A pixel that sees one face is one sample; a pixel on an edge is one sample a face, weighted by how much of it
the face covers (and, where light changes quickly inside a gap, several samples a face). Light is computed
once a sample, in float32, and ``filtered`` box-filters the result to the pixels.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

NOTHING = 255
"""Surface id of a sample that sees no face (there is none in a closed room)."""


@dataclass(frozen=True, kw_only=True)
class GBuffer:
    """Samples in rising order of ``pixel``; every pixel has at least one and its weights add up to 1.

    pixel : (n,) int32, row * width + column, rows from the top; weight : (n,) float32 in (0, 1];
    surface : (n,) uint8 id into ``meshes.surfaces.SURFACES``, NOTHING where no face is;
    part : (n,) int32 index into ``Scene.parts``; face : (n,) int32 index into ``Scene.faces``, -1 for none;
    position, normal : (n, 3) float32 [m], world; normals point towards the viewer's side;
    footprint : (n,) float32 [m], side of the square that a whole pixel covers on the face, seen head-on;
    extent : (n, 2) float32, over how much of its pixel's width and height the sample spreads.
    """

    width: int
    height: int
    pixel: NDArray[np.int32]
    weight: NDArray[np.float32]
    surface: NDArray[np.uint8]
    part: NDArray[np.int32]
    face: NDArray[np.int32]
    position: NDArray[np.float32]
    normal: NDArray[np.float32]
    footprint: NDArray[np.float32]
    extent: NDArray[np.float32]
    eye: NDArray[np.float32]
    """(3,) [m], where the camera stands."""
    step: NDArray[np.float32]
    """(2, 3) [m]: one pixel to the right and one up, seen at a depth of one metre."""

    def __len__(self) -> int:
        return len(self.pixel)

    def sample_sides(self, rows: NDArray[np.intp]) -> NDArray[np.float32]:
        """(len(rows), 2, 3) [m]: what each sample spreads over on its face, along the row and up."""
        right, up = self.step
        forward = np.cross(up, right) / np.linalg.norm(np.cross(up, right))
        ray = self.position[rows] - self.eye
        depth = ray @ forward
        normal = self.normal[rows]
        facing = np.minimum((ray * normal).sum(axis=1), np.float32(-1e-6))
        sides = [
            (depth * self.extent[rows, k])[:, None] * (move - ray * ((normal @ move) / facing)[:, None])
            for k, move in enumerate((right, up))
        ]
        return np.stack(sides, axis=1).astype(np.float32)

    def filtered(self, values: NDArray[np.float32]) -> NDArray[np.float32]:
        """Sample values (n,) or (n, k) box-filtered to (height, width) or (height, width, k)."""
        starts = np.flatnonzero(np.diff(self.pixel, prepend=-1))
        weight = self.weight if values.ndim == 1 else self.weight[:, None]
        means = np.add.reduceat(weight * values, starts, axis=0, dtype=np.float32)
        return means.reshape(self.height, self.width, *values.shape[1:])
