"""The room as patches: graded grids on its flat sides and on the things in it, pockets behind its openings,
and the exact exchange between them.

The box of the exchange ends at the plane of the slat fronts: each wall's plane holds its slat field (whose
cells belong to ``field``) and, round it, what is seen of the wall. The few centimetres of depth beside a
field are left out of the exchange, never out of the direct light. What hides is a box; whether one patch
sees another past the boxes is tried along one line from each of the four points that stand for it.
"""

from dataclasses import dataclass, replace
from itertools import accumulate

import numpy as np
from numpy.typing import NDArray

from meshes.light.faces import in_sight
from meshes.light.frame import Frame
from meshes.light.plane import Plane
from meshes.light.pockets import Pocket
from meshes.light.polygon import Array

_SIGHT_AT_ONCE = 1 << 21

Sight = list[NDArray[np.bool_]]


def past(per_plane: list[Array], sight: Sight | None) -> list[Array]:
    """Values (..., more, nu, nv) of each plane, none where they are out of sight (..., nu, nv)."""
    if sight is None:
        return per_plane
    found = []
    for values, seen in zip(per_plane, sight, strict=True):
        lead = seen.shape[:-2]
        more = (1,) * (values.ndim - seen.ndim)
        found.append(values * seen.reshape(*lead, *more, *seen.shape[-2:]))
    return found


def _seen(points: Array, targets: Array, solids: Array) -> NDArray[np.bool_]:
    """Which targets (t, 3) are seen from which points (n, 3) past solids: (n, t)."""
    found = np.empty((len(points), len(targets)), bool)
    step = max(1, _SIGHT_AT_ONCE // len(targets))
    for start in range(0, len(points), step):
        part = slice(start, start + step)
        found[part] = in_sight(points[part], targets, solids)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class RoomPatches:
    """All patches of the room, plane after plane, then the pockets; cells of the fields are none of them."""

    planes: tuple[Plane, ...]
    """Floor, ceiling, the sides of the plan (walls first), then the faces of things."""
    wall_plane: tuple[int, ...]
    """For each set-out wall, which plane is its."""
    field_shape: tuple[tuple[int, int], ...]
    """For each wall the cells of its field across and along, in its own frame."""
    pockets: tuple[Pocket, ...]
    weight: Array
    """(patches, classes): what each patch is made of; the room's share times its reflectance."""
    area: Array
    pocket_of_cell: Array
    """(cells, pocket patches): share of a cell that is an opening, times what each patch behind shows of
    itself there."""
    slatted: Array
    """(cells,) share of each cell that is no opening."""
    solids: Array
    thing_planes: int
    """How many of the planes, the last ones, are faces of things."""

    @property
    def flat(self) -> int:
        """Number of patches that lie on planes."""
        return len(self.area) - int(self.pocket_of_cell.shape[1])

    @property
    def starts(self) -> list[int]:
        """First cell of each wall's field, and the number of all cells."""
        return [0, *accumulate(a * b for a, b in self.field_shape)]

    def moved(self, frame: Frame) -> "RoomPatches":
        """The same room in a wall's frame."""
        corners = frame.points(self.solids)
        return replace(
            self,
            planes=tuple(plane.moved(frame) for plane in self.planes),
            solids=np.stack([corners.min(axis=1), corners.max(axis=1)], axis=1),
        )

    def field_of(self, wall: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Columns and rows of a wall's plane that its field takes, in that wall's frame."""
        start, stop = self.starts[wall : wall + 2]
        cell = self.planes[self.wall_plane[wall]].cell
        own = (cell >= start) & (cell < stop)
        return np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))

    def gathered(
        self, per_plane: list[Array], *, fields: bool = True, kind: type = np.float64
    ) -> tuple[Array, Array]:
        """Values by grid cell (..., nu, nv) of each plane, by patch (..., patches) with openings seen
        through, and by field cell (..., cells), or (..., 0) where none of the ``fields`` is seen.
        """
        shape = per_plane[0].shape[:-2]
        flat = np.zeros((*shape, self.flat if fields else len(self.area)), kind)
        cells = np.zeros((*shape, len(self.slatted) if fields else 0), kind)
        for values, plane in zip(per_plane, self.planes, strict=True):
            own = plane.patch >= 0
            flat[..., plane.patch[own]] = values[..., own]
            if fields and (plane.cell >= 0).any():
                own = plane.cell >= 0
                cells[..., plane.cell[own]] = values[..., own]
        if not fields:
            return flat, cells
        if not self.pocket_of_cell.shape[1]:
            return flat, cells
        return np.concatenate([flat, cells @ self.pocket_of_cell], axis=-1), cells * self.slatted

    def sight(self, points: Array, spare: NDArray[np.bool_] | None = None) -> Sight | None:
        """Which grid cells of each plane are seen from points (..., 3) past all solids: (..., nu, nv); None
        where nothing hides. spare : (solids,) boxes that hide nothing.
        """
        solids = self.solids if spare is None else self.solids[~spare]
        if not len(solids):
            return None
        targets = [plane.points(*plane.middles) for plane in self.planes]
        sides = len(self.planes) - self.thing_planes
        # things have many small faces: asked for all at once
        batches = [[one] for one in targets[:sides]] + ([targets[sides:]] if self.thing_planes else [])
        found = []
        for batch in batches:
            at_once = np.concatenate([one.reshape(-1, 3) for one in batch])
            seen = _seen(points.reshape(-1, 3), at_once, solids)
            ends = np.cumsum([one.shape[0] * one.shape[1] for one in batch])
            found += [
                part.reshape(*points.shape[:-1], *one.shape[:2])
                for part, one in zip(np.split(seen, ends[:-1], axis=1), batch, strict=True)
            ]
        return found

    def seen_from(self, points: Array, normal: Array, sight: Sight | None = None) -> tuple[Array, Array]:
        """Factors from points (..., 3) with one normal: of the patches (..., patches), and of the cells of
        all fields (..., cells); less what is out of ``sight``.
        """
        return self.gathered(past([plane.seen_from(points, normal) for plane in self.planes], sight))

    def exchange(self) -> Array:
        """Mean factors over each patch (patches, patches); what goes to and from fields is not in them."""
        found = np.zeros((len(self.area), len(self.area)))
        for plane in self.planes:
            own = plane.patch >= 0
            if own.any():
                points = plane.gauss_points()[own]
                seen = self.seen_from(points, plane.normal, self.sight(points))
                found[plane.patch[own]] = seen[0].mean(axis=1)
        for pocket in self.pockets:
            middle = pocket.middle[None]
            room = self.seen_from(middle, pocket.normal, self.sight(middle))[0][0]
            found[pocket.patches] = pocket.opening[:, None] * room
            found[np.ix_(pocket.patches, pocket.patches)] += pocket.exchange
        return found
