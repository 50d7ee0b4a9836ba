"""The patches that a reduced basis is measured on: the whole room, and a choice of stations for all.

Light changes slowly from station to station; a few hundred of them say as much as thousands.
"""

import numpy as np

from meshes.light.polygon import Array
from meshes.light.solving import Solved, Solver
from meshes.light.system import Light, Stations, in_groove

_MOST_STATIONS = (20, 24)
"""Stations across and along on which the basis is measured."""
SMALLEST_M2, DARKEST = 0.05, 0.1
"""What counts when a basis is measured: a patch of the room at least as so much area, since one looks into
corners too, and its light at least as this share of the brightest."""


class Measured:
    """Weighted values on the measured patches: the rows of a basis.

    middle : light of a middling finish, which the weights come from.
    """

    def __init__(self, solver: Solver, direct: Light, middle: Solved) -> None:
        self.system, self.cells = solver.system, solver.direct
        self.chosen: list[Stations] = []
        areas = [np.maximum(self.system.room_area, SMALLEST_M2)]
        for wall in self.system.walls:
            a, b = (
                np.unique(np.linspace(0, count - 1, min(count, most)).round().astype(int))
                for count, most in zip(wall.station_area.shape, _MOST_STATIONS, strict=True)
            )
            self.chosen.append((a, b))
            size = wall.station_area[np.ix_(a, b)]
            size = size * (wall.station_area.sum() / max(size.sum(), 1e-12))
            areas.append((size[..., None] * wall.field.zone_share).ravel())
        self.direct = Light(
            direct.room,
            tuple(zones[some[0]][:, some[1]] for zones, some in zip(direct.zones, self.chosen, strict=True)),
        )
        level = self._whole(middle).flat()
        area = np.concatenate(areas)[:, None]
        self.weight = np.sqrt(area) / np.maximum(level, DARKEST * level.max(axis=0))

    def _whole(self, solved: Solved) -> Light:
        """Irradiance at the chosen stations."""
        walls = enumerate(zip(self.system.walls, self.direct.zones, self.chosen, strict=True))
        zones = [solved.zones(wall, number, falling, some) for number, (wall, falling, some) in walls]
        return Light(solved.room, tuple(zones))

    def of_lamps(self) -> list[Array]:
        """Blocks of the direct light, one for each lamp; see ``_blocks``."""
        return self._blocks(self.direct, self.cells)

    def of_indirect(self, solved: Solved) -> list[Array]:
        """Blocks of a finish's indirect light, one for each lamp; see ``_blocks``."""
        return self._blocks(self._whole(solved) - self.direct, Light(solved.room, solved.cells) - self.cells)

    def _blocks(self, light: Light, cells: Light) -> list[Array]:
        """For each lamp (column of ``light``, at the chosen stations and at cells) weight * light and weight
        * G P_s light (1 + P, rows) of each class s that is present.
        """
        system = self.system
        present = system.present
        lamps = light.room.shape[1]

        def only(values: Array, share: Array) -> Array:
            """(..., y, m) times (y, P) as (..., y, P m)."""
            found = values[..., None, :] * share[..., None]
            return found.reshape(*values.shape[:-1], -1)

        own = [np.equal.outer(wall.zone_class, present).astype(float) for wall in system.walls]
        sent = Light(
            only(light.room, system.room_weight[:, present]),
            tuple(only(one, share) for one, share in zip(cells.zones, own, strict=True)),
        )
        given = system.exchanged(sent)
        zones = []
        for wall, share, here, coming, some in zip(
            system.walls, own, light.zones, given.zones, self.chosen, strict=True
        ):
            # in_groove of only(here, share): a class at a time, of its own zones
            found = wall.to_stations(coming, some)
            by_class = found.reshape(*here.shape[:-1], len(present), lamps)
            for number in range(len(present)):
                zone = np.flatnonzero(share[:, number])
                if len(zone):
                    by_class[..., number, :] += in_groove(wall.groove_exchange[:, zone], here[:, :, zone])
            zones.append(found)
        rows = Light(given.room, tuple(zones)).flat().reshape(-1, len(present), lamps)
        found = np.empty((lamps, 1 + len(present), len(rows)))
        found[:, 0] = (self.weight * light.flat()).T
        np.multiply(self.weight.T[:, None], rows.transpose(2, 1, 0), out=found[:, 1:])
        return list(found)
