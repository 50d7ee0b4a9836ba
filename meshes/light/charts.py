"""Where light is looked up for pictures: graded tables of irradiance on every surface, finish by finish
mixable.

Each chart holds, at every grid point, the direct light of each lamp and the indirect light of each basis
vector; ``compressed`` then keeps the few directions in which these differ for any finish, so that a picture
reads four or five numbers a point, not thirty.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.light.basis import Basis
from meshes.light.direct import open_factor
from meshes.light.field import Field, between
from meshes.light.polygon import Array
from meshes.light.room_patches import Plane, RoomPatches, graded_edges
from meshes.light.site import Site
from meshes.light.system import Light, System

_INSET_M = 0.002
"""Gathering points keep this far from edges, where a factor is a limit and not a number."""
_SLOPES = np.tan(np.linspace(-1.5, 1.5, 61))
DIRECTION_KEPT = 1e-3
"""Directions below this share of the light are dropped (the picture's own rounding is 4e-3)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Irradiance on a plane grid. ``table`` (nu, nv, r); r directions, mixed by its group's ``mix``."""

    axis: int
    normal: tuple[float, float, float]
    u: Array
    v: Array
    table: NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Charts of one kind of surface and what their directions are made of.

    ``mix`` (r, columns): coefficients of all columns (for each lamp its direct light, then its basis vectors)
    to coefficients of the r directions.
    """

    charts: tuple[Chart, ...]
    mix: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class GrooveGroup:
    """Irradiance inside the gaps: ``table`` (sa, sb, nodes, r), nodes in the order of ``Groove``."""

    table: NDArray[np.float32]
    mix: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Sources:
    """Radiosities of every solved finish and lamp, ready to be gathered anywhere: columns snapshot by
    lamp.
    """

    radiosity: Light
    cells: Array
    """(ca, cb, z, m) means over what each cell of the field stands for."""
    basis: Basis

    def mixed(self, values: Array, direct: Array) -> Array:
        """Gathered values (..., snapshots * lamps) and direct light (..., lamps) as columns (...,
        columns).
        """
        lamps = direct.shape[-1]
        by_lamp = values.reshape(*values.shape[:-1], -1, lamps)
        found = []
        for number in range(lamps):
            found.append(direct[..., number : number + 1])
            found.append(by_lamp[..., number] @ self.basis.mix[number])
        return np.concatenate(found, axis=-1)


def sources(system: System, direct: Light, basis: Basis) -> Sources:
    """Radiosities of the snapshots that the basis was made of."""
    parts = [
        system.reflected(direct + snapshot, finish)
        for snapshot, finish in zip(basis.snapshots, basis.finishes, strict=True)
    ]
    radiosity = Light(
        np.concatenate([part.room for part in parts], axis=-1),
        np.concatenate([part.zones for part in parts], axis=-1),
    )
    return Sources(radiosity=radiosity, cells=system.to_cells(radiosity.zones), basis=basis)


def display_points(edges: Array) -> Array:
    """Middles of cells and, a hair inside, both ends."""
    middles = (edges[1:] + edges[:-1]) / 2
    inset = min(_INSET_M, (edges[1] - edges[0]) / 4, (edges[-1] - edges[-2]) / 4)
    return np.concatenate([[edges[0] + inset], middles, [edges[-1] - inset]])


def chart_lines(where: Site, axis: int, low: float, high: float, *, offset: tuple[int, float]) -> Array:
    """Grid lines of a chart along ``axis``: fine near lamps and, less so, near both ends.

    ``offset``: the chart's own axis and where it lies on it, to know how far off each lamp is.
    """

    def spacing(positions: Array) -> Array:
        nearest = 0.6 * np.minimum(positions - low, high - positions) + 0.1
        for lamp in where.lamps:
            along, out = lamp.corners[:, axis], lamp.corners[:, offset[0]]
            if abs(lamp.normal[offset[0]]) > 0.999 and lamp.normal[offset[0]] * (offset[1] - out[0]) <= 0:
                continue  # this plane lies behind the lamp
            beside = np.minimum(np.abs(positions - along.min()), np.abs(positions - along.max()))
            off = max(0.0, out.min() - offset[1], offset[1] - out.max())
            nearest = np.minimum(nearest, np.hypot(beside, off))
        return np.clip(0.12 * nearest, max(0.008, (high - low) / 400), (high - low) / 16)

    return graded_edges(low, high, spacing)


def direct_columns(where: Site, points: Array, normal: Array) -> Array:
    return np.stack(
        [
            np.pi * lamp.luminance * open_factor(lamp, points, normal, where.blockers(number))
            for number, lamp in enumerate(where.lamps)
        ],
        axis=-1,
    )


class Gatherer:
    """Indirect light anywhere in the room: exact factors of room patches, directional ones of the field."""

    def __init__(self, where: Site, room: RoomPatches, system: System, light: Sources) -> None:
        self.where, self.room, self.light = where, room, light
        field = system.field
        section = field.groove
        back = room.planes[4]
        self.cell_a = ((back.u[1:] + back.u[:-1]) / 2)[room.field_a]
        seen = section.seen(_SLOPES)
        gaps = 1 - field.zone_share[0]
        shares = seen * (gaps / section.gap)
        shares[:, 0] = field.zone_share[0]
        # (slopes, ca, cb, m): what the field sends towards each slope across the slats
        self.towards = np.einsum("sz,abzm->sabm", shares, light.cells, optimize=True)
        areas = field.zone_share
        self.mean = np.einsum("z,abzm->abm", areas, light.cells, optimize=True)

    def at(self, points: Array, normal: Array) -> Array:
        """Indirect irradiance of each source column at room points (n, 3) with one normal: (n, m)."""
        room, field = self.room.seen_from(points, normal)
        found = room @ self.light.radiosity.room
        away = np.maximum(points[:, 2] - self.where.front_z, 1e-6)
        slope = (points[:, None, 0] - self.cell_a) / away[:, None]
        place = np.interp(slope, _SLOPES, np.arange(len(_SLOPES)))
        lower = np.minimum(place.astype(np.intp), len(_SLOPES) - 2)
        share = (place - lower)[..., None, None]
        columns = np.arange(len(self.cell_a))[None, :]
        towards = (1 - share) * self.towards[lower, columns] + share * self.towards[lower + 1, columns]
        return np.asarray(found + np.einsum("nab,nabm->nm", field, towards, optimize=True))

    def wall_radiosity(self) -> Array:
        """Mean radiosity of the back plane's cells, field and wall (nu, nv, m)."""
        back, index = self.room.planes[4], self.room.index[4]
        found = np.zeros((len(back.u) - 1, len(back.v) - 1, self.light.cells.shape[-1]))
        found[index >= 0] = self.light.radiosity.room[index[index >= 0]]
        found[self.room.field_a[:, None], self.room.field_b[None, :]] = self.mean
        return found


def upsampled(values: Array, coarse: tuple[Array, Array], fine: tuple[Array, Array]) -> Array:
    """Values (nu, nv, ...) between coarse lines, linearly interpolated to fine lines."""
    half = np.tensordot(between(fine[0], coarse[0]), values, axes=1)
    return np.asarray(np.moveaxis(np.tensordot(between(fine[1], coarse[1]), half, axes=(1, 1)), 0, 1))


def room_columns(where: Site, gather: Gatherer) -> list[tuple[Plane, Array, Array, Array]]:
    """Five planes of the room (all but the back) with their chart lines and columns."""
    found = []
    for number, plane in enumerate(gather.room.planes):
        if number == 4:
            continue
        first, second = plane.tangents
        span_u, span_v = where.box[first], where.box[second]
        u = chart_lines(where, first, *span_u, offset=(plane.axis, plane.at))
        v = chart_lines(where, second, *span_v, offset=(plane.axis, plane.at))
        coarse_u, coarse_v = display_points(plane.u), display_points(plane.v)
        points = plane.points(coarse_u, coarse_v)
        indirect = gather.at(points.reshape(-1, 3), plane.normal).reshape(*points.shape[:2], -1)
        fine = plane.points(u, v)
        columns = gather.light.mixed(
            upsampled(indirect, (coarse_u, coarse_v), (u, v)), direct_columns(where, fine, plane.normal)
        )
        found.append((plane, u, v, columns))
    return found


def wall_columns(where: Site, gather: Gatherer) -> list[tuple[Array, Array, Array, Array]]:
    """What lies in the plane of the fronts: irradiance for the normals z, +a, -a, +b, -b over the whole wall.

    A receiver square to the wall sees the room with one half of its hemisphere, and the wall beside it with
    the other half.
    """
    back = gather.room.planes[4]
    u = chart_lines(where, 0, *where.box[0], offset=(2, where.front_z))
    v = chart_lines(where, 1, *where.box[1], offset=(2, where.front_z))
    coarse_u, coarse_v = display_points(back.u), display_points(back.v)
    coarse = back.points(coarse_u, coarse_v).reshape(-1, 3)
    fine = back.points(u, v)
    middles = ((back.u[1:] + back.u[:-1]) / 2, (back.v[1:] + back.v[:-1]) / 2)
    beside = upsampled(gather.wall_radiosity(), middles, (coarse_u, coarse_v)).reshape(len(coarse), -1)
    found = []
    for axis, sense in ((2, 1.0), (0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)):
        normal = np.zeros(3)
        normal[axis] = sense
        factors, _ = gather.room.seen_from(coarse, normal)
        indirect = factors @ gather.light.radiosity.room
        if axis != 2:
            indirect += (1 - factors.sum(axis=1, keepdims=True)) * beside
        shaped = indirect.reshape(len(coarse_u), len(coarse_v), -1)
        columns = gather.light.mixed(
            upsampled(shaped, (coarse_u, coarse_v), (u, v)), direct_columns(where, fine, normal)
        )
        found.append((normal, u, v, columns))
    return found


def groove_columns(system: System, stations: Field, light: Sources, direct_nodes: Array) -> Array:
    """Irradiance at the nodes of every station (sa, sb, nodes, columns)."""
    exchange = stations.groove.node_exchange()
    inside = np.einsum("nz,abzm->abnm", exchange, light.radiosity.zones, optimize=True)
    patches = stations.inward.shape[-1]
    scale = (1 - exchange.sum(axis=1)) / np.maximum(stations.inward.sum(axis=-1), 1e-12)
    inward = (stations.inward * np.minimum(scale, 2)[..., None]).reshape(-1, patches)
    outside = (inward @ light.radiosity.room).reshape(*stations.inward.shape[:3], -1)
    return light.mixed(inside + system.to_stations(outside), direct_nodes)


def compressed(tables: list[Array], coefficients: Array) -> tuple[list[NDArray[np.float32]], Array]:
    """The few directions in which tables (..., columns) move over training ``coefficients`` (n, columns).

    Rows count relative to their own size, so that dark places keep their colour. Returns tables (..., r) and
    the mix (r, columns).
    """
    rows = np.concatenate([table.reshape(-1, table.shape[-1]) for table in tables])
    spread = coefficients.T @ coefficients / len(coefficients)
    size = np.sqrt(np.maximum(np.einsum("ni,ni->n", rows @ spread, rows), 0))
    weight = 1 / np.maximum(size, 1e-3 * size.max())
    weighted = rows * weight[:, None]
    gram = weighted.T @ weighted
    squares, directions = np.linalg.eigh(coefficients @ gram @ coefficients.T)
    kept = max(1, int((squares > DIRECTION_KEPT**2 * squares[-1]).sum()))
    ways = coefficients.T @ directions[:, -kept:] / np.sqrt(squares[-kept:])
    mix = ways.T @ gram
    plain = rows @ ways
    found: list[NDArray[np.float32]] = []
    start = 0
    for table in tables:
        count = int(np.prod(table.shape[:-1]))
        found.append(plain[start : start + count].reshape(*table.shape[:-1], kept).astype(np.float32))
        start += count
    return found, mix


def training_coefficients(basis: Basis, finishes: Array) -> Array:
    """Coefficients of all columns for each finish, one lamp lit at a time (finishes * lamps, columns)."""
    blocks = [one.coefficients(finishes) for one in basis.reduced]
    width = sum(1 + block.shape[1] for block in blocks)
    found, start = [], 0
    for block in blocks:
        rows = np.zeros((len(finishes), width))
        rows[:, start] = 1.0
        rows[:, start + 1 : start + 1 + block.shape[1]] = block
        start += 1 + block.shape[1]
        found.append(rows)
    return np.concatenate(found)
