"""What each pixel of a view sees, as a list of weighted samples: where stills, figure and light meet.

A pixel that sees one face is one sample; a pixel on an edge is one sample a face, weighted by how much of it
the face covers (and, where light changes quickly inside a gap, several samples a face). Light is computed
once a sample, in float32, and ``summed`` filters the result to the pixels.

The filter is a box of one pixel, and where slats or gaps are but a few pixels wide three such boxes one after
the other (the quadratic B-spline, across the slats only): a gap of 1.2 pixels would else come out darker or
paler than its neighbour by where it falls on the pixels. The wide filter gives to the pixels beside its own;
with x the place in the pixel from its middle, they get (1/2 - x)^2 / 2 and (1/2 + x)^2 / 2::

            .--.
          .'    '.         own    3/4 - x^2
      _.-'        '-._
    |----|--own--|----|    pixels
"""

from collections.abc import Iterable
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any

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
    position : (n, 3) float32 [m], world; face_normals : (faces, 3) float32, towards the viewer's side;
    footprint : (n,) float32 [m], side of the square that a whole pixel covers on the face, seen head-on;
    extent : (n, 2) float32, over how much of its pixel's width and height the sample spreads;
    reach : (n, 2) float32, share of a sample that goes to the pixels before and after its own across the
    slats, or None where none does; stride : how far these are from it in ``pixel``, 1 or ``width``.
    """

    width: int
    height: int
    pixel: NDArray[np.int32]
    weight: NDArray[np.float32]
    surface: NDArray[np.uint8]
    part: NDArray[np.int32]
    face: NDArray[np.int32]
    position: NDArray[np.float32]
    face_normals: NDArray[np.float32]
    footprint: NDArray[np.float32]
    extent: NDArray[np.float32]
    eye: NDArray[np.float32]
    """(3,) [m], where the camera stands."""
    step: NDArray[np.float32]
    """(2, 3) [m]: one pixel to the right and one up, seen at a depth of one metre."""
    reach: NDArray[np.float32] | None = None
    stride: int = 1

    def __len__(self) -> int:
        return len(self.pixel)

    def normals(self, rows: NDArray[np.intp]) -> NDArray[np.float32]:
        """(len(rows), 3) of some samples."""
        return self.face_normals[self.face[rows]]

    def sample_sides(self, rows: NDArray[np.intp]) -> NDArray[np.float32]:
        """(len(rows), 2, 3) [m]: what each sample spreads over on its face, along the row and up."""
        right, up = self.step
        forward = np.cross(up, right) / np.linalg.norm(np.cross(up, right))
        ray = self.position[rows] - self.eye
        depth = ray @ forward
        normal = self.normals(rows)
        facing = np.minimum((ray * normal).sum(axis=1), np.float32(-1e-6))
        sides = [
            (depth * self.extent[rows, k])[:, None] * (move - ray * ((normal @ move) / facing)[:, None])
            for k, move in enumerate((right, up))
        ]
        return np.stack(sides, axis=1).astype(np.float32)

    def filtered(self, values: NDArray[np.float32]) -> NDArray[np.float32]:
        """Sample values (n,) or (n, k) filtered to (height, width) or (height, width, k)."""
        flat = values.reshape(len(self), -1)
        pixels, sums = self.summed(np.arange(len(self)), flat, self.weight)
        found = np.zeros((self.height * self.width, flat.shape[1]), np.float32)
        found[pixels] = sums
        return found.reshape(self.height, self.width, *values.shape[1:])

    def summed(
        self, rows: NDArray[np.intp], values: NDArray[np.float32], weight: NDArray[np.float32]
    ) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
        """What some samples add to their pixels: pixels (m,) rising, and sums (m, k).

        rows : (j,) rising; values : (j, k); weight : (j,).
        """
        own = self.pixel[rows]
        starts = np.flatnonzero(np.diff(own, prepend=-1))
        pixels = own[starts]
        if self.reach is None:
            return pixels, _added(values, weight, starts)
        before, after = self.reach[rows].T
        wide = np.maximum.reduceat(before + after, starts) > 0 if len(starts) else np.zeros(0, np.bool_)
        sums = [(pixels, _added(values, weight * (1 - before - after), starts))]
        for way, share in ((-self.stride, before), (self.stride, after)):
            beside, there = self._beside(pixels, way)
            there &= wide
            sums.append((beside[there], _added(values, weight * share, starts)[there]))
        return self._gathered(sums, values.shape[1])

    def _gathered(
        self, sums: list[tuple[NDArray[np.int32], NDArray[np.float32]]], columns: int
    ) -> tuple[NDArray[np.int32], NDArray[np.float32]]:
        """Sums to pixels from several sides as one: pixels rising, and what each received over its whole."""
        first = min((int(place[0]) for place, _ in sums if len(place)), default=0)
        last = max((int(place[-1]) for place, _ in sums if len(place)), default=-1)
        slot = np.zeros(last - first + 1, np.int32)
        for place, _ in sums:
            slot[place - first] = 1
        every = (np.flatnonzero(slot) + first).astype(np.int32)
        slot[every - first] = np.arange(len(every), dtype=np.int32)
        found = np.zeros((len(every), columns), np.float32)
        for place, given in sums:
            found[slot[place - first]] += given
        found /= self._received[every, None]
        return every, found

    def _beside(self, pixels: NDArray[np.int32], way: int) -> tuple[NDArray[np.int32], NDArray[np.bool_]]:
        """The pixels that lie ``way`` on, and which of them are in the picture."""
        beside = (pixels + way).astype(np.int32)
        there = (beside >= 0) & (beside < self.width * self.height)
        if self.stride == 1:
            there &= beside // self.width == pixels // self.width
        return beside, there

    @cached_property
    def _received(self) -> NDArray[np.float32]:
        """(height * width,) what each pixel receives of all samples: near 1, less at the picture's edge."""
        assert self.reach is not None
        total = np.zeros(self.width * self.height)
        for way, share in (
            (0, 1 - self.reach.sum(axis=1)),
            (-self.stride, self.reach[:, 0]),
            (self.stride, self.reach[:, 1]),
        ):
            beside, there = self._beside(self.pixel, way)
            total += np.bincount(beside[there], (self.weight * share)[there], len(total))
        return np.asarray(total, np.float32)


_ONE_FOR_ALL = ("width", "face_normals", "eye", "step", "stride")


def joined(bands: Iterable[GBuffer]) -> GBuffer:
    """Bands of one view, from the top, one under the other; each is let go of as it is read."""
    parts: list[dict[str, Any]] = []
    for band in bands:
        parts.append({field.name: getattr(band, field.name) for field in fields(band)})
    starts = np.cumsum([0, *(part["height"] * part["width"] for part in parts)])
    for part, start in zip(parts, starts, strict=False):
        part["pixel"] += np.int32(start)
    if any(part["reach"] is not None for part in parts):
        for part in parts:
            if part["reach"] is None:
                part["reach"] = np.zeros((len(part["pixel"]), 2), np.float32)
    height = sum(part.pop("height") for part in parts)
    found: dict[str, Any] = {"height": height}
    for name in list(parts[0]):
        every = [part.pop(name) for part in parts]
        whole = name in _ONE_FOR_ALL or every[0] is None
        found[name] = every[0] if whole else np.concatenate(every)
    return GBuffer(**found)


def _added(
    values: NDArray[np.float32], weight: NDArray[np.float32], starts: NDArray[np.intp]
) -> NDArray[np.float32]:
    if not len(starts):
        return np.zeros((0, values.shape[1]), np.float32)
    return np.asarray(np.add.reduceat(values * weight[:, None], starts, axis=0, dtype=np.float32))
