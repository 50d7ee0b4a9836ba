"""The solve of one finish: grooves are eliminated place by place, then the room is solved.

What comes in at the stations lies linearly between the cells, and a groove makes the same of it everywhere.
So the unknowns are few: the room's irradiance and what comes in at the cells; with T = 1 / (1 - K rho) of a
groove's own exchange K, the zones at a station have T (direct + incoming).
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.light.polygon import Array
from meshes.light.system import WHOLE, Light, Stations, System, Wall, in_groove

Singles = NDArray[np.float32]

_EXACT, _MOST_ROUNDS = 1e-6, 60
"""Walls that see each other: rounds go on until what is left of the equation is this share of the light."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """Irradiance for one finish. Columns as those of the direct light."""

    reflectance: Array
    """(classes,)"""
    grooves: tuple[Array, ...]
    """For each wall T (z, z): what light from outside makes of a groove."""
    room: Array
    """(p, m)"""
    incoming: tuple[Array, ...]
    """For each wall (ca, cb, z, m), from the room and from other walls."""
    cells: tuple[Array, ...]
    """For each wall (ca, cb, z, m): irradiance, the mean over what each cell stands for."""

    def zones(self, wall: Wall, number: int, direct: Array, chosen: Stations = WHOLE) -> Array:
        """Irradiance at the ``chosen`` stations of one wall, and its number, where ``direct`` (sa, sb, z, m)
        falls on these.
        """
        return in_groove(self.grooves[number], direct + wall.to_stations(self.incoming[number], chosen))

    def light(self, system: System, direct: Light) -> Light:
        """Irradiance on all patches."""
        pairs = enumerate(zip(system.walls, direct.zones, strict=True))
        return Light(self.room, tuple(self.zones(wall, number, zones) for number, (wall, zones) in pairs))


class Solver:
    """A system under one set of lamps, ready to be solved for any finish."""

    def __init__(self, system: System, direct: Light) -> None:
        self.system = system
        self.direct = system.at_cells(direct)
        self.spread = [_spread(wall) for wall in system.walls]

    def solved(self, reflectance: Array) -> Solved:
        """Irradiance for one finish, exactly. reflectance : (classes,), the last 1. All columns are solved
        together.

        Walls that see each other are left to rounds on what remains of the equation, until nothing does.
        """
        system, direct = self.system, self.direct
        once = _Elimination(system, self.spread, reflectance)
        room, incoming = once.answer(direct.room, direct.zones)
        found = once.solved(room, incoming, direct)
        if not system.crosses:
            return found
        size = np.abs(Light(found.room, found.cells).flat()).max(axis=0)
        for _ in range(_MOST_ROUNDS):
            given = system.exchanged(system.reflected(Light(found.room, found.cells), reflectance))
            left = Light(direct.room + given.room, given.zones) - Light(room, tuple(incoming))
            if (np.abs(left.flat()).max(axis=0) <= _EXACT * size).all():
                return found
            more, further = once.answer(
                left.room,
                [wall.there_and_back(one) for wall, one in zip(system.walls, left.zones, strict=True)],
            )
            room = room + more
            incoming = [
                one + two + three for one, two, three in zip(incoming, left.zones, further, strict=True)
            ]
            found = once.solved(room, incoming, direct)
        raise ArithmeticError("light: the rounds of a solve do not end")


class _Elimination:
    """The system of one finish, walls unseen by each other, ready to be solved for any direct light."""

    def __init__(self, system: System, spread: Sequence[Singles], reflectance: Array) -> None:
        self.system, self.reflectance = system, reflectance
        self.rho_room = system.room_weight @ reflectance
        self.grooves: list[Array] = []
        self.sent: list[Array] = []
        """(z, z): radiosity of a groove's zones from light that falls on them from outside."""
        through = np.zeros_like(system.room_exchange)
        for wall, factors in zip(system.walls, spread, strict=True):
            rho = reflectance[wall.zone_class]
            groove = np.asarray(np.linalg.inv(np.eye(len(rho)) - wall.groove_exchange * rho))
            self.grooves.append(groove)
            self.sent.append(rho[:, None] * groove)
            through += _answered(factors, wall.field.zone_share[:, None] * self.sent[-1])
        through /= system.room_area[:, None]
        through += system.room_exchange
        through *= -self.rho_room
        through.flat[:: len(through) + 1] += 1
        self.inverted = bool(system.crosses)  # walls that see each other ask for many answers
        self.matrix = np.asarray(np.linalg.inv(through) if self.inverted else through, dtype=np.float64)

    def answer(self, room: Array, zones: Sequence[Array]) -> tuple[Array, list[Array]]:
        """The room's irradiance (p, m) and what it sends into the grooves (ca, cb, z, m) where ``room``
        (p, m) and ``zones`` (ca, cb, z, m), means over cells, fall on both.
        """
        source = room.copy()
        for wall, sent, falling in zip(self.system.walls, self.sent, zones, strict=True):
            source += self.system.back(wall, in_groove(sent, falling))
        if self.inverted:
            found = self.matrix @ source
        else:
            found = np.asarray(np.linalg.solve(self.matrix, source), dtype=np.float64)
        radiosity = self.rho_room[:, None] * found
        return found, [wall.from_room(radiosity) for wall in self.system.walls]

    def solved(self, room: Array, incoming: list[Array], direct: Light) -> Solved:
        parts = zip(self.system.walls, self.grooves, direct.zones, incoming, strict=True)
        return Solved(
            reflectance=self.reflectance,
            grooves=tuple(self.grooves),
            room=room,
            incoming=tuple(incoming),
            cells=tuple(
                in_groove(groove, falling + wall.there_and_back(coming))
                for wall, groove, falling, coming in parts
            ),
        )


_COLUMNS_AT_ONCE = 8
_NO_AREA = 1e-13
"""Cells that an opening covers, or between which no station stands, have less than this share of the area."""


def _answered(spread: Singles, power: Array) -> Array:
    """Power (p, p) that patches of the room get of each other's light through the grooves of one wall.

    spread : see ``_spread``; power : (z, z) what the zones of an area send of light that falls on them from
    outside, which is symmetric: so all of it is one matrix times its own transpose.
    """
    columns, patches = len(spread), spread.shape[-1]
    squares, ways = np.linalg.eigh((power + power.T) / 2)
    root = (np.sqrt(np.maximum(squares, 0.0))[:, None] * ways.T).astype(np.float32)
    found = np.zeros((patches, patches))
    for first in range(0, columns, _COLUMNS_AT_ONCE):
        half = np.matmul(root, spread[first : first + _COLUMNS_AT_ONCE]).reshape(-1, patches)
        found += half.T @ half
    return found


def _spread(wall: Wall) -> Singles:
    """L' F (ca, cb, z, p) of the factors F of room patches, with a root L of the cells' overlap L L'.

    The overlap couples a column of cells with its neighbours alone, and so does its root.
    """
    overlap, factors = wall.cell_overlap, wall.inward
    flat = factors.reshape(*factors.shape[:2], -1)
    found = np.empty_like(flat)
    least = _NO_AREA * overlap.max()
    left = overlap[0, 1]
    for column in range(len(flat)):
        squares, ways = np.linalg.eigh(left)
        own = np.sqrt(np.maximum(squares, 0.0))[:, None] * ways.T
        found[column] = own.astype(np.float32) @ flat[column]
        if column + 1 < len(flat):
            inverse = np.where(squares > least, 1 / np.sqrt(np.maximum(squares, least)), 0.0)
            beside = inverse[:, None] * (ways.T @ overlap[column, 2])
            found[column] += beside.astype(np.float32) @ flat[column + 1]
            left = overlap[column + 1, 1] - beside.T @ beside
    return found.reshape(factors.shape)
