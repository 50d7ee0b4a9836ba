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
from meshes.light.polygon import Array

__all__ = ["CLASSES", "Light", "System", "Wall"]

_EXACT, _MOST_ROUNDS = 5e-6, 60
"""A solve goes on until what is left of the equation is this share of the light."""


@dataclass(frozen=True, slots=True)
class Light:
    """Values on all patches: ``room`` (p, m) and for each wall ``zones`` (sa, sb, z, m)."""

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

    @property
    def station_area(self) -> Array:
        """(sa, sb)."""
        return self.field.station_area

    @property
    def zone_area(self) -> Array:
        """(sa, sb, z) area of each zone at each station."""
        return self.field.station_area[..., None] * self.field.zone_share

    def from_room(self, radiosity: Array) -> Array:
        """What radiosities of the room's patches (p, m) give the zones at the cells (ca cb z, m)."""
        flat = self.inward.reshape(-1, self.inward.shape[-1])
        return np.asarray(flat @ radiosity.astype(np.float32), dtype=np.float64)

    def to_cells(self, zones: Array) -> Array:
        """Area means over what each cell stands for: (sa, sb, z, m) -> (ca, cb, z, m)."""
        weighted = zones * self.station_area[..., None, None]
        half = np.tensordot(self.field.from_cells_a.T, weighted, axes=1)
        count = half.shape[0]
        turned = np.matmul(self.field.from_cells_b.T, half.reshape(count, half.shape[1], -1))
        whole = turned.reshape(count, -1, *half.shape[2:])
        return np.asarray(whole / np.maximum(self.cell_area, 1e-12)[..., None, None])

    def to_stations(self, cells: Array) -> Array:
        """(ca, cb, ...) -> (sa, sb, ...)."""
        half = np.tensordot(self.field.from_cells_a, cells, axes=1)
        turned = np.matmul(self.field.from_cells_b, half.reshape(*half.shape[:2], -1))
        return np.asarray(turned.reshape(half.shape[0], -1, *cells.shape[2:]))

    def mixed(self, cells: NDArray[np.float32]) -> NDArray[np.float32]:
        """Powers of the zones at each cell (ca, cb, z, k) after going to the stations and back; openings
        count as slats.
        """
        a, b = self.field.from_cells_a, self.field.from_cells_b
        mass_a = (a.T @ (self.field.across_size[:, None] * a)).astype(np.float32)
        mass_b = (b.T @ (self.field.along_size[:, None] * b)).astype(np.float32)
        half = np.matmul(mass_b, cells.reshape(*cells.shape[:2], -1)).reshape(cells.shape[0], -1)
        return np.asarray(
            (mass_a @ half).reshape(cells.shape) * self.field.zone_share[:, None].astype(np.float32)
        )

    def in_groove(self, values: Array, factors: Array) -> Array:
        """``factors`` (z, z) applied at every station to (sa, sb, z, m)."""
        return np.asarray(np.matmul(factors, values))


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

    @property
    def is_direct(self) -> bool:
        """Whether ``solve`` needs one round only: one wall, and no opening in it."""
        walls = self.walls
        full = all(
            np.allclose(one.station_area, np.outer(one.field.across_size, one.field.along_size))
            for one in walls
        )
        return full and not self.crosses

    def reflected(self, light: Light, reflectance: Array) -> Light:
        """Radiosity of irradiance under one reflectance a class: (classes,), the last being 1 for the
        room.
        """
        zones = [
            one * reflectance[wall.zone_class][:, None]
            for one, wall in zip(light.zones, self.walls, strict=True)
        ]
        return Light(light.room * (self.room_weight @ reflectance)[:, None], tuple(zones))

    def received(self, radiosity: Light) -> Light:
        """G applied to radiosities."""
        room = self.room_exchange @ radiosity.room
        columns = radiosity.room.shape[-1]
        incoming, cells = [], []
        for wall, zones in zip(self.walls, radiosity.zones, strict=True):
            incoming.append(wall.from_room(radiosity.room).reshape(*wall.inward.shape[:3], columns))
            cells.append(wall.to_cells(zones))
            room += self.back(wall, cells[-1])
        for cross in self.crosses:
            there, back = cross.exchanged(cells[cross.one], cells[cross.other])
            incoming[cross.one] += there
            incoming[cross.other] += back
        found = [
            wall.in_groove(zones, wall.groove_exchange) + wall.to_stations(cells_in)
            for wall, zones, cells_in in zip(self.walls, radiosity.zones, incoming, strict=True)
        ]
        return Light(room, tuple(found))

    def back(self, wall: Wall, cells: Array) -> Array:
        """What the field's mean radiosities (ca, cb, z, m) give the room's patches (p, m)."""
        flat = wall.inward.reshape(-1, wall.inward.shape[-1])
        weights = (wall.cell_area[..., None] * wall.field.zone_share)[..., None]
        sent = (cells * weights).reshape(flat.shape[0], -1).astype(np.float32)
        return np.asarray((flat.T @ sent) / self.room_area[:, None])

    def solve(self, direct: Light, reflectance: Array) -> Light:
        """Irradiance for one finish, exactly. reflectance : (classes,), the last 1. Columns of ``direct`` are
        solved together.

        Grooves are eliminated station by station, then the room is solved. Walls that see each other, and
        openings, are left to rounds on what remains of the equation, until nothing does.
        """
        once = _Elimination(self, reflectance)
        light = once.solve(direct)
        if self.is_direct:
            return light
        size = np.abs(light.flat()).max(axis=0)
        for _ in range(_MOST_ROUNDS):
            left = direct - light + self.received(self.reflected(light, reflectance))
            if (np.abs(left.flat()).max(axis=0) <= _EXACT * size).all():
                return light
            light = light + once.solve(left)
        raise ArithmeticError("light: the rounds of a solve do not end")


class _Elimination:
    """The system of one finish, walls unseen by each other, ready to be solved for any direct light."""

    def __init__(self, system: System, reflectance: Array) -> None:
        self.system = system
        self.rho_zone = [reflectance[wall.zone_class] for wall in system.walls]
        self.rho_room = system.room_weight @ reflectance
        through = system.room_exchange.copy()
        self.grooves: list[Array] = []
        for wall, rho in zip(system.walls, self.rho_zone, strict=True):
            zones, patches = wall.inward.shape[2:]
            groove = np.asarray(np.linalg.inv(np.eye(zones) - wall.groove_exchange * rho), dtype=np.float64)
            self.grooves.append(groove)
            # the room as it answers itself through the grooves, at the cells
            answered = np.matmul((groove * rho[:, None]).astype(np.float32), wall.inward)
            flat = wall.inward.reshape(-1, patches)
            through += flat.T @ wall.mixed(answered).reshape(-1, patches) / system.room_area[:, None]
        self.matrix = np.eye(len(self.rho_room)) - through * self.rho_room
        self.inverse: Array | None = None
        if not system.is_direct:
            self.inverse = np.asarray(np.linalg.inv(self.matrix), dtype=np.float64)

    def solve(self, direct: Light) -> Light:
        system = self.system
        own, source = [], direct.room.copy()
        for wall, groove, rho, zones in zip(
            system.walls, self.grooves, self.rho_zone, direct.zones, strict=True
        ):
            own.append(wall.in_groove(zones, groove))
            source += system.back(wall, wall.to_cells(own[-1] * rho[:, None]))
        if self.inverse is None:
            room = np.asarray(np.linalg.solve(self.matrix, source), dtype=np.float64)
        else:
            room = self.inverse @ source
        sent = self.rho_room[:, None] * room
        found = []
        for wall, groove, first in zip(system.walls, self.grooves, own, strict=True):
            incoming = wall.from_room(sent).reshape(*wall.inward.shape[:3], -1)
            found.append(first + wall.to_stations(np.matmul(groove, incoming)))
        return Light(room, tuple(found))
