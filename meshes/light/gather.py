"""Indirect light anywhere in the room: exact factors of its patches, directional ones of the slat fields."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshes.light.basis import Basis
from meshes.light.cross import cell_centres
from meshes.light.field import Field
from meshes.light.plane import Plane
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches, Sight
from meshes.light.site import Site
from meshes.light.system import Light, Stations, System

_ON_WALL_M = 1e-6
_SLOPES = np.tan(np.linspace(-1.5, 1.5, 61))


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """Radiosities of every basis vector, ready to be gathered anywhere: a column a vector, lamp by lamp."""

    system: System
    direct: Light
    room: Array
    """(p, vectors)"""
    cells: tuple[Array, ...]
    """For each wall (ca, cb, z, vectors) means over what each cell of the field stands for."""
    basis: Basis

    @property
    def columns(self) -> int:
        """How many vectors there are."""
        return int(self.room.shape[1])

    def mixed(self, values: Array, direct: Array) -> Array:
        """Values gathered from the vectors (..., vectors) and direct light (..., lamps) as columns (...,
        columns).
        """
        found = np.empty((*values.shape[:-1], self.columns + direct.shape[-1]))
        start = 0
        for number, place in enumerate(self.basis.direct_columns):
            count = self.basis.reduced[number].vectors
            found[..., place] = direct[..., number]
            found[..., place + 1 : place + 1 + count] = values[..., start : start + count]
            start += count
        return found

    def of_snapshots(self, values: Sequence[Array]) -> Array:
        """Values of each solved finish (..., lamps) as those of the vectors (..., vectors)."""
        return vectors_of(self.basis, values)

    def sent_from_zones(self, number: int, chosen: Stations) -> Array:
        """Radiosity (sa, sb, z, vectors) of the zones at the ``chosen`` stations of a wall, by its number."""
        wall, direct = self.system.walls[number], self.direct.zones[number][chosen]
        found = [
            one.zones(wall, number, direct, chosen) * one.reflectance[wall.zone_class][:, None]
            for one in self.basis.snapshots
        ]
        return self.of_snapshots(found)


def vectors_of(basis: Basis, values: Sequence[Array]) -> Array:
    """Values of each solved finish (..., lamps) as those of the basis' vectors (..., vectors)."""
    found = []
    for number, mix in enumerate(basis.mix):
        by_finish = np.stack([one[..., number].ravel() for one in values], axis=-1)
        found.append((by_finish @ mix).reshape(*values[0].shape[:-1], -1))
    return np.concatenate(found, axis=-1)


def sources(system: System, direct: Light, basis: Basis) -> Sources:
    """Radiosities of the vectors of a basis."""
    sent = [system.reflected(Light(one.room, one.cells), one.reflectance) for one in basis.snapshots]
    return Sources(
        system=system,
        direct=direct,
        room=vectors_of(basis, [one.room for one in sent]),
        cells=tuple(vectors_of(basis, found) for found in zip(*(one.zones for one in sent), strict=True)),
        basis=basis,
    )


class Gatherer:
    """Indirect light at points of one wall's frame. room : in the world."""

    def __init__(
        self, wall: int, walls: Sequence[Site], room: RoomPatches, fields: Sequence[Field], light: Sources
    ) -> None:
        self.wall, self.walls, self.where, self.light = wall, walls, walls[wall], light
        self.room = room.moved(self.where.frame)
        self.sides = len(room.planes) - room.thing_planes
        self.centres = cell_centres(wall, self.where, room)
        self.slope_from = [
            where.frame.points(cell_centres(number, where, room))[:, 0] for number, where in enumerate(walls)
        ]
        # for each wall (slopes, cells, m): what its field sends towards each slope across the slats
        self.towards, self.mean = [], []
        for stations, cells in zip(fields, light.cells, strict=True):
            flat = cells.reshape(-1, *cells.shape[2:])
            self.towards.append(np.matmul(stations.shown(_SLOPES), flat).transpose(1, 0, 2))
            self.mean.append(np.einsum("z,czm->cm", stations.zone_share, flat, optimize=True))

    @property
    def back(self) -> Plane:
        """The plane of this wall's fronts."""
        return self.room.planes[self.room.wall_plane[self.wall]]

    def sight(self, points: Array) -> Sight | None:
        """What is seen from points (n, 3). Those beside the slats, behind the plane of the fronts, see as
        from that plane: the solids that stand for what lies round a corner reach up to it.
        """
        front = self.where.front_z
        behind = (points[:, 2] > -_ON_WALL_M) & (points[:, 2] < front)
        return self.room.sight(np.where(behind[:, None] & [False, False, True], front, points))

    def at(self, points: Array, normal: Array, sight: Sight | None = None) -> tuple[Array, Array]:
        """Indirect irradiance of each vector at points (n, 3) with one normal (n, m), and how much of
        the hemisphere it comes from (n,). sight : what is seen from there, if it is known already.
        """
        sight = self.sight(points) if sight is None else sight
        return self.weighted(points, *self.room.seen_from(points, normal, sight))

    def weighted(self, points: Array, patches: Array, cells: Array) -> tuple[Array, Array]:
        """Factors of patches (n, p) and of field cells (n, c) at points (n, 3) put on what those send."""
        found = patches @ self.light.room
        seen = patches.sum(axis=1)
        if cells.shape[1]:
            seen = seen + cells.sum(axis=1)
            found = found + self._of_cells(points, cells)
        return found, seen

    def _of_cells(self, points: Array, cells: Array) -> Array:
        found = np.zeros((len(points), self.light.room.shape[1]))
        world = self.where.frame.world(points)
        for number, where in enumerate(self.walls):
            start, stop = self.room.starts[number : number + 2]
            own = cells[:, start:stop]
            if not own.any():
                continue
            there = where.frame.points(world)
            away = np.maximum(there[:, 2] - where.front_z, 1e-6)
            slope = (there[:, None, 0] - self.slope_from[number]) / away[:, None]
            across, along = self.room.field_shape[number]
            place = np.interp(slope[:, ::along], _SLOPES, np.arange(len(_SLOPES)))
            lower = np.minimum(place.astype(np.intp), len(_SLOPES) - 2)
            share = (place - lower)[..., None]
            own = own.reshape(-1, across, along)
            towards = self.towards[number].reshape(len(_SLOPES), across, along, -1)
            for column in range(across):  # a column of cells lies at one slope from each point
                step, table = lower[:, column], towards[:, column]
                near = (1 - share[:, column]) * own[:, column]
                found += np.einsum("nb,nbm->nm", near, table[step], optimize=True)
                far = share[:, column] * own[:, column]
                found += np.einsum("nb,nbm->nm", far, table[step + 1], optimize=True)
        return found

    def from_fields(self, stations: Field) -> Array:
        """What other fields give the nodes at the cells of this one (ca, cb, nodes, m)."""
        shape = stations.node_cells.shape
        flat = stations.node_cells.reshape(-1, shape[-1])
        points = np.repeat(self.where.frame.points(self.centres), shape[2], axis=0)
        return self._of_cells(points, flat).reshape(*shape[:3], -1)

    def wall_radiosity(self) -> Array:
        """Mean radiosity of the cells of this wall's plane, field and wall (nu, nv, m)."""
        return self._over_wall(self.light.room, self.mean[self.wall])

    def _over_wall(self, of_patches: Array, of_cells: Array) -> Array:
        back, room = self.back, self.room
        start, stop = room.starts[self.wall : self.wall + 2]
        found = np.zeros((*back.patch.shape, of_patches.shape[1]))
        own = back.patch >= 0
        found[own] = of_patches[back.patch[own]]
        slats = of_cells * room.slatted[start:stop, None]
        slats = slats + room.pocket_of_cell[start:stop] @ of_patches[room.flat :]
        own = (back.cell >= start) & (back.cell < stop)
        found[own] = slats[back.cell[own] - start]
        return found
