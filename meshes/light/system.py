"""The light system of one site: H = E + G (rho * H), with G symmetric in the areas of its patches.

Unknowns are the irradiances of the room's patches (p,) and of the zones at each station (sa, sb, z). Columns
(a last axis m) carry lamps or basis vectors. What a finish changes are the reflectances of a few classes; the
room's own are baked in.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.light.direct import open_factor
from meshes.light.field import Field
from meshes.light.groove import BASE, FRONT
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site

CLASSES = ("slat_front", "slat_side", "fabric", "skirting", "room")
"""What light meets on its way: four of a finish's surface words, and the room, whose reflectance is baked."""


@dataclass(frozen=True, slots=True)
class Light:
    """Values on all patches: ``room`` (p, m) and ``zones`` (sa, sb, z, m)."""

    room: Array
    zones: Array

    def __add__(self, other: "Light") -> "Light":
        return Light(self.room + other.room, self.zones + other.zones)

    def __sub__(self, other: "Light") -> "Light":
        return Light(self.room - other.room, self.zones - other.zones)

    def column(self, number: int) -> "Light":
        """One column, as a ``Light`` with m = 1."""
        return Light(self.room[:, number : number + 1], self.zones[..., number : number + 1])

    def flat(self) -> Array:
        """(p + sa sb z, m)."""
        return np.concatenate([self.room, self.zones.reshape(-1, self.zones.shape[-1])])


@dataclass(frozen=True, slots=True, kw_only=True)
class System:
    """Exchange and areas, balanced so that a closed white room of uniform light stays exactly that."""

    field: Field
    zone_class: NDArray[np.intp]
    """(z,) index into ``CLASSES``."""
    room_class: NDArray[np.intp]
    room_reflectance: Array
    """(p,) baked reflectance of room patches; 1 on patches of a finish's own class."""
    room_exchange: Array
    """(p, p) factors."""
    groove_exchange: Array
    """(z, z) factors."""
    inward: Array
    """(ca, cb, z, p) factors of room patches at the zones."""
    room_area: Array
    cell_area: Array
    """(ca, cb) area of the field that each cell's middle stands for."""
    station_area: Array
    """(sa, sb)."""

    def reflected(self, light: Light, reflectance: Array) -> Light:
        """Radiosity of irradiance under one reflectance a class: (classes,), the last being 1 for the
        room.
        """
        room = (self.room_reflectance * reflectance[self.room_class])[:, None]
        return Light(light.room * room, light.zones * reflectance[self.zone_class][:, None])

    def to_cells(self, zones: Array) -> Array:
        """Area means over what each cell stands for: (sa, sb, z, m) -> (ca, cb, z, m)."""
        weighted = zones * self.station_area[..., None, None]
        half = np.tensordot(self.field.from_cells_a.T, weighted, axes=1)
        whole = np.einsum("sc,aszm->aczm", self.field.from_cells_b, half, optimize=True)
        return np.asarray(whole / self.cell_area[..., None, None])

    def to_stations(self, cells: Array) -> Array:
        """(ca, cb, ...) -> (sa, sb, ...)."""
        half = np.tensordot(self.field.from_cells_a, cells, axes=1)
        return np.asarray(np.moveaxis(np.tensordot(self.field.from_cells_b, half, axes=(1, 1)), 0, 1))

    def _mixed(self, cells: Array) -> Array:
        """Powers of the zones at each cell (ca, cb, z, k) after going to the stations and back."""
        a, b = self.field.from_cells_a, self.field.from_cells_b
        mass_a = a.T @ (self.field.across_size[:, None] * a)
        mass_b = b.T @ (self.field.along_size[:, None] * b)
        half = np.matmul(mass_b, cells.reshape(*cells.shape[:2], -1)).reshape(cells.shape[0], -1)
        return np.asarray((mass_a @ half).reshape(cells.shape) * self.field.zone_share[:, None])

    def received(self, radiosity: Light) -> Light:
        """G applied to radiosities."""
        return Light(*self._received(radiosity))

    def _received(self, radiosity: Light) -> tuple[Array, Array]:
        patches = self.inward.shape[-1]
        flat = self.inward.reshape(-1, patches)
        columns = radiosity.room.shape[-1]
        incoming = (flat @ radiosity.room).reshape(*self.inward.shape[:3], columns)
        groove = np.einsum("zy,abym->abzm", self.groove_exchange, radiosity.zones, optimize=True)
        cells = self.to_cells(radiosity.zones)
        weights = (self.cell_area[..., None] * self.field.zone_share)[..., None]
        back = flat.T @ (cells * weights).reshape(-1, columns)
        room = self.room_exchange @ radiosity.room + back / self.room_area[:, None]
        return room, groove + self.to_stations(incoming)

    def solve(self, direct: Light, reflectance: Array) -> Light:
        """Irradiance for one finish, exactly: grooves eliminated station by station, then the room solved.

        reflectance : (classes,), the last 1. Columns of ``direct`` are solved together.
        """
        rho_zone = reflectance[self.zone_class]
        rho_room = self.room_reflectance * reflectance[self.room_class]
        zones, patches = self.inward.shape[2:]
        groove = np.linalg.inv(np.eye(zones) - self.groove_exchange * rho_zone)
        # the room as it answers itself through the grooves, at the cells
        answered = np.matmul(
            groove * rho_zone[:, None], self.inward
        )  # radiosity of the zones by room radiosity
        flat = self.inward.reshape(-1, patches)
        through = flat.T @ self._mixed(answered).reshape(-1, patches) / self.room_area[:, None]
        own = np.einsum("zy,abym->abzm", groove, direct.zones, optimize=True)
        first = Light(np.zeros_like(direct.room), own * rho_zone[:, None])
        source = direct.room + self._received(first)[0]
        matrix = np.eye(patches) - (self.room_exchange + through) * rho_room
        room = np.asarray(np.linalg.solve(matrix, source), dtype=np.float64)
        incoming = (flat @ (rho_room[:, None] * room)).reshape(*self.inward.shape[:3], -1)
        stations = self.to_stations(incoming)
        return Light(room, own + np.einsum("zy,abym->abzm", groove, stations, optimize=True))


def _balanced(room: Array, inward: Array, opening: Array, weights: Array, area: Array) -> tuple[Array, Array]:
    """Symmetric exchange areas scaled until every patch's factors sum to 1 and every zone's to its opening.

    room : (p, p) factors; inward : (cells, z, p); opening : (z,); weights : (cells, z) areas; area : (p,).
    The scaling is a few tenths of a per cent: it takes up what sampling a patch at four points leaves.
    """
    exchange = area[:, None] * room
    exchange = (exchange + exchange.T) / 2
    flat = inward.reshape(-1, len(area))
    wanted = np.broadcast_to(opening, inward.shape[:2]).ravel()
    heavy = weights.ravel()
    rows, columns = np.ones(len(flat)), np.ones(len(area))
    for _ in range(12):
        rows = wanted / np.maximum(flat @ columns, 1e-300)
        reach = exchange @ columns + flat.T @ (heavy * rows)
        columns = columns * np.sqrt(area / np.maximum(reach * columns, 1e-300))
    rows = wanted / np.maximum(flat @ columns, 1e-300)
    balanced = exchange * columns * columns[:, None] / area[:, None]
    return balanced, (flat * rows[:, None] * columns).reshape(inward.shape)


def _covered(where: Site, room: RoomPatches) -> Array:
    """Share of each patch that lies behind a lamp close in front of it (within a quarter of its side)."""
    covered = np.zeros(len(room.area))
    for lamp in where.lamps:
        axis = int(np.argmax(np.abs(lamp.normal)))
        if abs(lamp.normal[axis]) < 0.999:
            continue
        low, high = lamp.corners.min(axis=0), lamp.corners.max(axis=0)
        near = 0.25 * np.sqrt(np.prod(np.delete(high - low, axis)))
        for plane, index in zip(room.planes, room.index, strict=True):
            if plane.axis != axis or abs(plane.at - low[axis]) > near or plane.normal @ lamp.normal < 0:
                continue
            overlaps = []
            for tangent, edges in zip(plane.tangents, (plane.u, plane.v), strict=True):
                inside = np.minimum(edges[1:], high[tangent]) - np.maximum(edges[:-1], low[tangent])
                overlaps.append(np.maximum(inside, 0) / np.diff(edges))
            kept = index >= 0
            covered[index[kept]] += np.outer(*overlaps)[kept]
    return np.minimum(covered, 1.0)


def system(where: Site, room: RoomPatches, stations: Field) -> System:
    """The light system of a site."""
    section = stations.groove
    room_exchange, _ = room.exchange()
    exchange, opening = section.exchange()
    inward = np.concatenate(
        [stations.inward_front[:, :, None, :], stations.inward[:, :, section.zone_nodes, :]], axis=2
    )
    station_area = np.outer(stations.across_size, stations.along_size)
    cell_area = stations.from_cells_a.T @ station_area @ stations.from_cells_b
    cells = inward.reshape(-1, *inward.shape[2:])
    weights = cell_area.reshape(-1, 1) * stations.zone_share
    room_exchange, cells = _balanced(room_exchange, cells, opening, weights, room.area)
    zone_class = np.where(
        section.zone_kind == FRONT,
        CLASSES.index("slat_front"),
        np.where(section.zone_kind == BASE, CLASSES.index("fabric"), CLASSES.index("slat_side")),
    )
    by_face = where.reflectance_of_face
    reflectance = np.array([by_face[(plane.axis, plane.side)] for plane in room.planes], dtype=np.float64)[
        room.plane_of
    ]
    room_class = np.full(len(room.area), CLASSES.index("room"))
    if where.skirting is not None:
        up = 0 if where.level else 1
        skirting = (room.plane_of == 4) & (room.centre[:, up] < where.skirting[0])
        room_class[skirting], reflectance[skirting] = CLASSES.index("skirting"), 1.0
    return System(
        field=stations,
        zone_class=zone_class,
        room_class=room_class,
        room_reflectance=reflectance * (1 - _covered(where, room)),
        room_exchange=room_exchange,
        groove_exchange=exchange,
        inward=cells.reshape(inward.shape),
        room_area=room.area,
        cell_area=cell_area,
        station_area=station_area,
    )


def room_direct(where: Site, room: RoomPatches) -> Array:
    """Direct irradiance [lx] of each lamp on each patch (p, lamps), the mean over 3 x 3 points."""
    found = np.zeros((len(room.area), len(where.lamps)))
    thirds = (np.arange(3) + 0.5) / 3
    for number, (plane, index) in enumerate(zip(room.planes, room.index, strict=True)):
        kept = index >= 0
        if number == 4 and not kept.any():
            continue
        u = (plane.u[:-1, None] + np.diff(plane.u)[:, None] * thirds).ravel()
        v = (plane.v[:-1, None] + np.diff(plane.v)[:, None] * thirds).ravel()
        points = plane.points(u, v)
        for column, lamp in enumerate(where.lamps):
            factor = open_factor(lamp, points, plane.normal, where.blockers(column))
            lit = np.pi * lamp.luminance * factor
            mean = lit.reshape(len(plane.u) - 1, 3, len(plane.v) - 1, 3).mean(axis=(1, 3))
            found[index[kept], column] = mean[kept]
    return found
