"""Planes of the room with a grid on each, and what a receiver sees of their cells."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from meshes.light.frame import Frame
from meshes.light.polygon import Array, facing_grid, square_grid

_GAUSS = (0.5 - 0.5 / np.sqrt(3), 0.5 + 0.5 / np.sqrt(3))


@dataclass(frozen=True, slots=True, kw_only=True)
class Plane:
    """One flat side of the room or of a thing in it; ``u`` and ``v`` are the other two axes in rising order.

    ``patch`` and ``cell`` (nu, nv): number of each grid cell among the room's patches or, where slats stand,
    among the cells of all fields; -1 for neither.
    """

    axis: int
    side: int
    """0 looks towards rising coordinates, 1 towards falling ones."""
    at: float
    u: Array
    v: Array
    patch: NDArray[np.intp]
    cell: NDArray[np.intp]

    @property
    def tangents(self) -> tuple[int, int]:
        first, second = (axis for axis in range(3) if axis != self.axis)
        return first, second

    @property
    def sense(self) -> float:
        return 1.0 if self.side == 0 else -1.0

    @property
    def normal(self) -> Array:
        """Unit normal (3,) on the side that is lit."""
        normal = np.zeros(3)
        normal[self.axis] = self.sense
        return normal

    @property
    def areas(self) -> Array:
        return np.outer(np.diff(self.u), np.diff(self.v))

    @property
    def middles(self) -> tuple[Array, Array]:
        """Middles of the grid cells along u and along v."""
        return (self.u[1:] + self.u[:-1]) / 2, (self.v[1:] + self.v[:-1]) / 2

    def points(self, u: Array, v: Array) -> Array:
        """Points (len(u), len(v), 3) of the plane."""
        found = np.empty((len(u), len(v), 3))
        found[..., self.axis] = self.at
        found[..., self.tangents[0]] = u[:, None]
        found[..., self.tangents[1]] = v[None, :]
        return found

    def gauss_points(self) -> Array:
        """(nu, nv, 4, 3): the Gauss points of the two directions of every cell."""
        found = np.empty((len(self.u) - 1, len(self.v) - 1, 4, 3))
        for number, (i, j) in enumerate(((0, 0), (0, 1), (1, 0), (1, 1))):
            u = self.u[:-1] + np.diff(self.u) * _GAUSS[i]
            v = self.v[:-1] + np.diff(self.v) * _GAUSS[j]
            found[:, :, number] = self.points(u, v)
        return found

    def seen_from(self, points: Array, normal: Array) -> Array:
        """Factors (..., nu, nv) of the cells from ``points`` (..., 3) with one square ``normal`` (3,).

        Points in the plane or behind it see nothing of it.
        """
        axis = int(np.argmax(np.abs(normal)))
        before = self.sense * (points[..., self.axis] - self.at)
        shape = (*before.shape, len(self.u) - 1, len(self.v) - 1)
        ahead = before > 1e-9
        if not ahead.any() or (axis == self.axis and normal[axis] * self.sense > 0):
            return np.zeros(shape)
        distance = np.where(ahead, before, 1.0)
        first, second = self.tangents
        u = self.u - points[..., first, None]
        v = self.v - points[..., second, None]
        if axis == self.axis:
            seen = facing_grid(u, v, distance)
        elif axis == first:
            seen = square_grid(u * normal[axis], v, distance)
        else:
            seen = np.swapaxes(square_grid(v * normal[axis], u, distance), -1, -2)
        seen = np.abs(seen)
        return seen if ahead.all() else np.where(ahead[..., None, None], seen, 0.0)

    def moved(self, frame: Frame) -> "Plane":
        """The same plane in another frame, its cells with the same numbers."""
        place = list(frame.order)
        axis = place.index(self.axis)
        first, second = (place.index(tangent) for tangent in self.tangents)
        u = self.u * frame.sense[first] + frame.shift[first]
        v = self.v * frame.sense[second] + frame.shift[second]
        patch, cell = self.patch, self.cell
        if frame.sense[first] < 0:
            u, patch, cell = u[::-1], patch[::-1], cell[::-1]
        if frame.sense[second] < 0:
            v, patch, cell = v[::-1], patch[:, ::-1], cell[:, ::-1]
        if first > second:
            u, v, patch, cell = v, u, patch.T, cell.T
        return replace(
            self,
            axis=axis,
            side=self.side if frame.sense[axis] > 0 else 1 - self.side,
            at=self.at * frame.sense[axis] + frame.shift[axis],
            u=np.ascontiguousarray(u),
            v=np.ascontiguousarray(v),
            patch=patch,
            cell=cell,
        )
