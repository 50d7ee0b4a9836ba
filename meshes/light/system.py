"""The light system of a room with its slatted walls: H = E + G (rho * H), with G symmetric in the areas of
its patches.

Unknowns are the irradiances of the room's patches (p,) and of the zones at each station of each wall
(sa, sb, z). Columns (a last axis m) carry lamps or basis vectors. What a finish changes are the reflectances
of a few classes; the room's own are baked in.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.light.classes import CLASSES
from meshes.light.cross import Cross
from meshes.light.field import Field
from meshes.light.frame import Real
from meshes.light.polygon import Array

__all__ = ["CLASSES", "Light", "System", "Wall"]

Stations = tuple[slice | NDArray[np.intp], slice | NDArray[np.intp]]
"""A choice of stations across and along."""
WHOLE: Stations = (slice(None), slice(None))


@dataclass(frozen=True, slots=True)
class Light:
    """Values on all patches: ``room`` (p, m) and for each wall ``zones`` (sa, sb, z, m) at its stations or,
    where that is said, (ca, cb, z, m) at its cells.
    """

    room: Array
    zones: tuple[Array, ...]

    def __add__(self, other: "Light") -> "Light":
        pairs = zip(self.zones, other.zones, strict=True)
        return Light(self.room + other.room, tuple(one + two for one, two in pairs))

    def __sub__(self, other: "Light") -> "Light":
        pairs = zip(self.zones, other.zones, strict=True)
        return Light(self.room - other.room, tuple(one - two for one, two in pairs))

    def column(self, number: int) -> "Light":
        """One column, as a ``Light`` with m = 1."""
        only = slice(number, number + 1)
        return Light(self.room[:, only], tuple(one[..., only] for one in self.zones))

    def flat(self) -> Array:
        """(p + all sa sb z, m)."""
        return np.concatenate([self.room, *(one.reshape(-1, one.shape[-1]) for one in self.zones)])


@dataclass(frozen=True, slots=True, kw_only=True)
class Wall:
    """One wall's slats in the system."""

    field: Field
    zone_class: NDArray[np.intp]
    """(z,) index into ``CLASSES``."""
    groove_exchange: Array
    """(z, z) factors."""
    inward: NDArray[np.float32]
    """(ca, cb, z, p) factors of room patches at the zones; the largest array of all, hence its precision."""
    cell_area: Array
    """(ca, cb) area of the field that each cell's middle stands for."""
    cell_overlap: Array
    """(ca, 3, cb, cb) integral over the field of one cell's share of a place times another's, from the column
    before, the same and the column after; farther ones have none in common."""

    @property
    def station_area(self) -> Array:
        """(sa, sb)."""
        return self.field.station_area

    def from_room(self, radiosity: Array) -> Array:
        """What radiosities of the room's patches (p, m) give the zones at the cells (ca, cb, z, m)."""
        flat = self.inward.reshape(-1, self.inward.shape[-1])
        found = np.asarray(flat @ radiosity.astype(np.float32), dtype=np.float64)
        return found.reshape(*self.inward.shape[:3], -1)

    def to_cells(self, zones: Array) -> Array:
        """Area means over what each cell stands for: (sa, sb, z, m) -> (ca, cb, z, m)."""
        weighted = zones * self.station_area[..., None, None]
        half = np.tensordot(self.field.from_cells_a.T, weighted, axes=1)
        count = half.shape[0]
        turned = np.matmul(self.field.from_cells_b.T, half.reshape(count, half.shape[1], -1))
        return self.mean(turned.reshape(count, -1, *half.shape[2:]))

    def mean(self, summed: Array) -> Array:
        """Sums over area (ca, cb, z, m) as means over what each cell stands for."""
        return np.asarray(summed / np.maximum(self.cell_area, 1e-12)[..., None, None])

    def to_stations(self, cells: Array, chosen: Stations = WHOLE) -> Array:
        """(ca, cb, ...) -> (sa, sb, ...), or to the ``chosen`` of them."""
        a, b = self.field.from_cells_a[chosen[0]], self.field.from_cells_b[chosen[1]]
        half = np.tensordot(a, cells, axes=1)
        turned = np.matmul(b, half.reshape(*half.shape[:2], -1))
        return np.asarray(turned.reshape(len(a), len(b), *cells.shape[2:]))

    def there_and_back(self, cells: Array) -> Array:
        """Means over cells of what values at the cells (ca, cb, z, m) are at the stations."""
        flat = cells.reshape(*cells.shape[:2], -1)
        summed = np.stack([self.overlapped(column, flat) for column in range(len(flat))])
        return self.mean(summed.reshape(cells.shape))

    def overlapped(self, column: int, cells: NDArray[Real]) -> NDArray[Real]:
        """Sums over area (cb, n), at one column of cells, of what values (ca, cb, n) are at the stations."""
        first, after = max(column - 1, 0), min(column + 2, len(cells))
        shares = self.cell_overlap[column, 1 + first - column : 1 + after - column].astype(cells.dtype)
        return np.asarray(np.matmul(shares, cells[first:after]).sum(axis=0))


def in_groove(factors: Array, values: Array) -> Array:
    """``factors`` (y, z) applied at every place to (..., z, m): one product, unlike ``matmul``."""
    columns = [
        values[..., column].reshape(-1, values.shape[-2]) @ factors.T for column in range(values.shape[-1])
    ]
    return np.stack(columns, axis=-1).reshape(*values.shape[:-2], len(factors), values.shape[-1])


@dataclass(frozen=True, slots=True, kw_only=True)
class System:
    """Exchange and areas, balanced so that a closed white room of uniform light stays exactly that."""

    walls: tuple[Wall, ...]
    room_weight: Array
    """(p, classes) what each patch is made of, times the room's baked reflectance."""
    room_exchange: Array
    """(p, p) factors."""
    room_area: Array
    """(p,) [m2] open to the room: less than the patch's own where solids shut it in."""
    room_open: Array
    """(p,) that area's share of the patch; light that falls on a whole patch is divided by it."""
    crosses: tuple[Cross, ...]
    """Walls that see each other."""

    @property
    def present(self) -> list[int]:
        """The classes that something here is made of."""
        zones = {int(one) for wall in self.walls for one in wall.zone_class}
        return sorted(zones | set(np.flatnonzero(self.room_weight.any(axis=0)).tolist()))

    def reflected(self, light: Light, reflectance: Array) -> Light:
        """Radiosity of irradiance, at stations or cells, under one reflectance a class: (classes,), the last
        being 1 for the room.
        """
        zones = [
            one * reflectance[wall.zone_class][:, None]
            for one, wall in zip(light.zones, self.walls, strict=True)
        ]
        return Light(light.room * (self.room_weight @ reflectance)[:, None], tuple(zones))

    def at_cells(self, light: Light) -> Light:
        """The same with the means over cells in place of the stations."""
        pairs = zip(self.walls, light.zones, strict=True)
        return Light(light.room, tuple(wall.to_cells(zones) for wall, zones in pairs))

    def exchanged(self, radiosity: Light) -> Light:
        """What radiosities, at cells, give the room, and the cells from beyond their own grooves."""
        room = self.room_exchange @ radiosity.room
        for wall, cells in zip(self.walls, radiosity.zones, strict=True):
            room += self.back(wall, cells)
        incoming = [wall.from_room(radiosity.room) for wall in self.walls]
        for cross in self.crosses:
            there, back = cross.exchanged(radiosity.zones[cross.one], radiosity.zones[cross.other])
            incoming[cross.one] += there
            incoming[cross.other] += back
        return Light(room, tuple(incoming))

    def received(self, radiosity: Light) -> Light:
        """G applied to radiosities."""
        given = self.exchanged(self.at_cells(radiosity))
        found = [
            in_groove(wall.groove_exchange, zones) + wall.to_stations(incoming)
            for wall, zones, incoming in zip(self.walls, radiosity.zones, given.zones, strict=True)
        ]
        return Light(given.room, tuple(found))

    def back(self, wall: Wall, cells: Array) -> Array:
        """What the field's mean radiosities (ca, cb, z, m) give the room's patches (p, m)."""
        flat = wall.inward.reshape(-1, wall.inward.shape[-1])
        weights = (wall.cell_area[..., None] * wall.field.zone_share)[..., None]
        sent = (cells * weights).reshape(flat.shape[0], -1).astype(np.float32)
        return np.asarray((flat.T @ sent) / self.room_area[:, None])
