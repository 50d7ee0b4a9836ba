"""Views as weighted samples: which face each part of a pixel sees, and exactly where.

OpenGL decides only which face a sample sees. Where it sees it is the crossing of the sample's ray with the
face's own plane, so positions are exact and there is no depth buffer to read.

Samples of one pixel that see the same face are merged into one with their summed weight, at their mean place;
across a narrow gap, where light falls off steeply, up to four samples a pixel are kept.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import NOTHING, GBuffer, joined
from meshes.solids.quads import UNSEEN, Floats
from meshes.solids.scene import Scene
from meshes.stills.camera import Camera
from meshes.stills.drawing import Drawing
from meshes.stills.gl import face_ids
from meshes.stills.sampling import sample_offsets, samples_a_side, smallest_pitch_px, wideness
from meshes.surfaces import SURFACE_ID

_IDS_AT_ONCE = 4_000_000
_STRIPS = 4
_GRADED = tuple(SURFACE_ID[word] for word in ("slat_side", "fabric"))


def raster(scene: Scene, camera: Camera, width: int, height: int, supersample: int | None = None) -> GBuffer:
    """The whole view. supersample : samples along a pixel's side, 1 to 8; None chooses by the slats' size.

    Raises GraphicsError where nothing can be drawn.
    """
    return joined(bands(scene, camera, width, height, supersample))


def bands(
    scene: Scene, camera: Camera, width: int, height: int, supersample: int | None = None
) -> Iterator[GBuffer]:
    """The view in bands of rows from the top: a large picture then needs no more memory than a small one."""
    side = supersample or samples_a_side(scene, camera, height)
    view = _View.of(scene, camera, height)
    rows = max(1, min(height, _IDS_AT_ONCE // (side * side * width)))
    for first in range(0, height, rows):
        yield view.band(width, (first, min(first + rows, height)), side)


@dataclass(frozen=True, kw_only=True)
class _View:
    """A scene as one camera sees it; what every band shares."""

    scene: Scene
    camera: Camera
    height: int
    focal: float
    drawn: NDArray[np.int32]
    """Index into ``scene.faces`` of each face that is drawn."""
    corners: NDArray[np.float32]
    near: float
    far: float
    steep: bool
    """Gaps are so narrow in the picture that light changes within a pixel."""
    strips_along_x: bool

    @staticmethod
    def of(scene: Scene, camera: Camera, height: int) -> "_View":
        """Faces in the camera's frame [m], near and far planes round them; ``height`` of the whole [px]."""
        faces = scene.faces
        drawn = np.flatnonzero(faces.surfaces != UNSEEN).astype(np.int32)
        turn = camera.world_from_camera[:3, :3]
        corners = (faces.corners[drawn] - camera.eye) @ turn
        nearest, farthest = _near_and_far(faces.corners[drawn], camera.eye)
        first = scene.set_outs[0]
        gap_px = smallest_pitch_px(scene, camera, height) * float(first.gap / first.pitch)
        return _View(
            scene=scene,
            camera=camera,
            height=height,
            focal=camera.focal_px(height),
            drawn=drawn,
            corners=corners.astype(np.float32),
            near=max(1e-3, 0.4 * nearest),
            far=1.01 * farthest,
            steep=gap_px < _STRIPS,
            strips_along_x=first.run == "upright",
        )

    def band(self, width: int, rows: tuple[int, int], side: int) -> GBuffer:
        """The samples of pixel rows ``rows[0]`` up to ``rows[1]``, from ``side`` by ``side`` looks a pixel.

        A pixel that one face fills is one sample of weight 1; else there is a sample for each face in it, and
        in steep pictures for each strip of a graded face, which weighs as much as it covers.
        """
        offsets = sample_offsets(side)
        ids = face_ids(
            Drawing(
                corners=self.corners,
                width=width,
                height=self.height,
                rows=rows,
                focal_px=self.focal,
                near=self.near,
                far=self.far,
                offsets=offsets,
            )
        ).reshape(side * side, -1)
        graded = np.isin(self.scene.faces.surfaces[self.drawn], _GRADED)
        whole = ids[0] >= 0
        for others in ids[1:]:
            whole &= others == ids[0]
        if self.steep:
            whole &= ~graded[ids[0]]
        plain = np.flatnonzero(whole).astype(np.int32)
        mixed = np.flatnonzero(~whole).astype(np.int32)
        strips = np.array([int(_STRIPS * offset[0 if self.strips_along_x else 1]) for offset in offsets])
        pixel, face, weight, where, extent = _merged(ids[:, mixed], mixed, np.array(offsets), strips, graded)
        pixel = np.concatenate([plain, pixel])
        order = np.argsort(pixel, kind="stable")
        face = np.concatenate([ids[0, plain], face])[order]
        weight = np.concatenate([np.ones(len(plain)), weight])[order]
        where = np.concatenate([np.full((len(plain), 2), 0.5), where])[order]
        extent = np.concatenate([np.ones((len(plain), 2)), extent])[order]
        return self._placed(width, rows, pixel[order], face, weight, where, extent)

    def _placed(
        self,
        width: int,
        rows: tuple[int, int],
        pixel: NDArray[np.int32],
        face: NDArray[np.int32],
        weight: Floats,
        where: Floats,
        extent: Floats,
    ) -> GBuffer:
        """Cross each sample's ray with its face's plane."""
        faces = self.scene.faces
        own = self.drawn[face]
        row, column = np.divmod(pixel, width)
        u = (column + where[:, 0] - width / 2) / self.focal
        v = (self.height / 2 - rows[0] - row - where[:, 1]) / self.focal
        turn = self.camera.world_from_camera[:3, :3]
        # distance and slant of each face's plane once a face, then a few products a sample
        distance = ((faces.corners[:, 0] - self.camera.eye) * faces.normals).sum(axis=1)
        slant = faces.normals @ turn
        facing = slant[own, 0] * u + slant[own, 1] * v - slant[own, 2]
        along = distance[own] / np.minimum(facing, -1e-6)
        position = np.column_stack([along * u, along * v, -along]) @ turn.T + self.camera.eye
        length = np.sqrt(1 + u * u + v * v)
        missing = face < 0
        surface = faces.surfaces[own]
        surface[missing] = NOTHING
        part = self.scene.part_of[own]
        return GBuffer(
            width=width,
            height=rows[1] - rows[0],
            pixel=pixel,
            weight=weight.astype(np.float32),
            surface=surface,
            part=np.where(missing, -1, part).astype(np.int32),
            face=np.where(missing, -1, own).astype(np.int32),
            position=position.astype(np.float32),
            face_normals=faces.normals.astype(np.float32),
            footprint=(along * length / self.focal).astype(np.float32),
            extent=extent.astype(np.float32),
            eye=self.camera.eye.astype(np.float32),
            step=(turn.T[:2] / self.focal).astype(np.float32),
            reach=self._reach(part, position, where, extent),
            stride=1 if self.strips_along_x else width,
        )

    def _reach(
        self, part: NDArray[np.int32], position: Floats, where: Floats, extent: Floats
    ) -> NDArray[np.float32] | None:
        """What of each sample goes to the pixels before and after its own; see ``meshes.gbuffer``."""
        axis = 0 if self.strips_along_x else 1
        wide = wideness(self.scene, self.camera, self.focal, axis, part, position)
        if not wide.any():
            return None
        place = where[:, axis] - 0.5
        square = place * place + extent[:, axis] ** 2 / 12
        both = [0.25 + way * place + square for way in (-1, 1)]
        return np.stack([wide * share / 2 for share in both], axis=1).astype(np.float32)


def _merged(
    ids: NDArray[np.int32],
    pixels: NDArray[np.int32],
    offsets: Floats,
    strips: NDArray[np.int64],
    graded: NDArray[np.bool_],
) -> tuple[NDArray[np.int32], NDArray[np.int32], Floats, Floats, Floats]:
    """Merge the samples (s, m) of each pixel by face and, on graded faces, by strip.

    Returns pixel (k,), face (k,), weight (k,), mean offset (k, 2) and extent (k, 2), pixels rising. Samples
    that hit nothing (a crack between two faces, at most) are left to the others of their pixel.
    """
    count = len(offsets)
    seen = ids >= 0
    blank = ~seen.any(axis=0)
    strip = np.where(graded[ids], strips[:, None], 0)
    last = (len(graded) + 1) * _STRIPS  # greater than any face's key: samples that hit nothing come last
    small = np.dtype(np.int32 if (last + 1) * count < np.iinfo(np.int32).max else np.int64)
    key = np.where(seen | blank, (ids + 1) * _STRIPS + strip, last).astype(small) * count
    key = (key + np.arange(count, dtype=small)[:, None]).T.copy()
    key.sort(axis=1)
    group, sample = np.divmod(key, count)
    kept = group < last
    differs = np.ones(group.shape, np.bool_)
    differs[:, 1:] = group[:, 1:] != group[:, :-1]
    first = np.flatnonzero(differs)
    group, sample, kept = group.ravel(), sample.ravel(), kept.ravel()
    if not len(first):
        return pixels, np.zeros(0, np.int32), np.zeros(0), np.zeros((0, 2)), np.zeros((0, 2))
    number = np.diff(first, append=len(group))
    placed = offsets[sample]
    where = np.add.reduceat(placed, first, axis=0) / number[:, None]
    extent = np.maximum.reduceat(placed, first, axis=0) - np.minimum.reduceat(placed, first, axis=0)
    extent += 1 / count  # each sample stands for its own column and row
    row = first // count
    good = kept[first]
    total = np.bincount(row[good], number[good], len(pixels))
    weight = number[good] / total[row[good]]
    face = (group[first][good] // _STRIPS - 1).astype(np.int32)
    return pixels[row[good]], face, weight, where[good], extent[good]


def _near_and_far(corners: Floats, eye: Floats) -> tuple[float, float]:
    """Distance from the eye to the nearest and the farthest point of any face [m] (faces along the axes)."""
    low, high = corners.min(axis=1), corners.max(axis=1)
    nearest = np.linalg.norm(np.clip(eye, low, high) - eye, axis=1).min()
    farthest = np.linalg.norm(corners - eye, axis=2).max()
    return float(nearest), float(farthest)
