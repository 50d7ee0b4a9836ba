"""Where light is looked up for pictures: graded tables of irradiance on every surface, finish by finish
mixable.

Each chart holds, at every grid point, the direct light of each lamp and the indirect light of each basis
vector; ``compressed`` then keeps the few directions in which these differ for any finish, so that a picture
reads four or five numbers a point, not thirty.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from meshes.light.beside import beside, standing, with_feet
from meshes.light.chart_lines import chart_lines, display_points, inset
from meshes.light.direct import open_factor
from meshes.light.field import between
from meshes.light.gather import Gatherer
from meshes.light.plane import Plane
from meshes.light.polygon import Array
from meshes.light.site import Site
from meshes.light.system import in_groove

_SHUT_IN = 0.3
"""A place that sees less of its hemisphere is in a corner that no picture shows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """Irradiance on a plane grid. ``table`` (nu, nv, r); r directions, mixed by its group's ``mix``."""

    axis: int
    at: float
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


def direct_columns(where: Site, points: Array, normal: Array) -> Array:
    """Direct light (..., lamps) [lx] at ``points`` (..., 3) [m] with ``normal`` (3,) or (..., 3)."""
    return np.stack(
        [
            np.pi * lamp.luminance * open_factor(lamp, points, normal, where.blockers(number))
            for number, lamp in enumerate(where.lamps)
        ],
        axis=-1,
    )


def upsampled(values: Array, coarse: tuple[Array, Array], fine: tuple[Array, Array]) -> Array:
    """Values (nu, nv, ...) between coarse lines, linearly interpolated to fine lines."""
    half = np.tensordot(between(fine[0], coarse[0]), values, axes=1)
    return np.asarray(np.moveaxis(np.tensordot(between(fine[1], coarse[1]), half, axes=(1, 1)), 0, 1))


Charted = tuple[int, float, Array, Array, Array, Array]
"""Axis, place and normal of a chart, its two sets of lines, its columns (nu, nv, columns)."""


def room_columns(gather: Gatherer) -> list[Charted]:
    """The sides of the room that are no set-out wall, with their chart lines and columns."""
    where, room = gather.where, gather.room
    return [
        _plain_chart(where, gather, plane, u, v)
        for number, plane in enumerate(room.planes[: gather.sides])
        if number not in room.wall_plane
        for u, v in _tiles(plane)
    ]


def _tiles(plane: Plane) -> list[tuple[Array, Array]]:
    """Grid lines of the rectangles that the cells of a plane fill: floor and ceiling of a room that is no
    box are several.
    """
    there = plane.patch >= 0
    found: list[tuple[Array, Array]] = []
    stops = np.flatnonzero((there[1:] != there[:-1]).any(axis=1)) + 1
    for low, high in pairwise([0, *stops.tolist(), len(there)]):
        edges = np.flatnonzero(np.diff(there[low].astype(np.int8), prepend=0, append=0))
        for start, stop in edges.reshape(-1, 2).tolist():
            found.append((plane.u[low : high + 1], plane.v[start : stop + 1]))
    return found


def _plain_chart(where: Site, gather: Gatherer, plane: Plane, own_u: Array, own_v: Array) -> Charted:
    """A rectangle of one flat side: a chart over all of it, and over the few centimetres beside slats that
    end at it.
    """
    first, second = plane.tangents
    spans = [np.array([lines[0], lines[-1]]) for lines in (own_u, own_v)]
    for number, axis in enumerate((first, second)):
        if axis == 2 and abs(spans[number][0] - where.front_z) < 1e-6:
            spans[number][0] = 0.0
    feet = standing(plane, where.things)
    u = with_feet(chart_lines(where, first, *spans[0], offset=(plane.axis, plane.at)), feet[:, :, 0])
    v = with_feet(chart_lines(where, second, *spans[1], offset=(plane.axis, plane.at)), feet[:, :, 1])
    coarse_u = with_feet(display_points(own_u), feet[:, :, 0])
    coarse_v = with_feet(display_points(own_v), feet[:, :, 1])
    points = _beside(plane, plane.points(coarse_u, coarse_v), feet)
    gathered, seen = gather.at(points.reshape(-1, 3), plane.normal)
    # a closed room is seen all round: what is missed or seen twice past the corner of a thing is made good
    indirect = (gathered / np.where(seen > _SHUT_IN, seen, 1.0)[:, None]).reshape(*points.shape[:2], -1)
    fine = _beside(plane, plane.points(inset(u), inset(v)), feet)
    columns = gather.light.mixed(
        upsampled(indirect, (coarse_u, coarse_v), (u, v)), direct_columns(where, fine, plane.normal)
    )
    return plane.axis, plane.at, plane.normal, u, v, columns


def _beside(plane: Plane, points: Array, feet: Array) -> Array:
    """Points (..., 3) of a plane, those under things moved to beside them."""
    if not len(feet):
        return points
    moved = points.copy()
    moved[..., plane.tangents] = beside(points[..., plane.tangents].reshape(-1, 2), feet).reshape(
        *points.shape[:-1], 2
    )
    return moved


def wall_columns(gather: Gatherer) -> list[Charted]:
    """What lies in the plane of the fronts: irradiance for the normals z, +a, -a, +b, -b over the whole wall.

    A receiver square to the wall sees the room with one half of its hemisphere, and the wall beside it with
    the other half.
    """
    where, back = gather.where, gather.back
    u = chart_lines(where, 0, *where.box[0], offset=(2, where.front_z))
    v = chart_lines(where, 1, *where.box[1], offset=(2, where.front_z))
    coarse_u, coarse_v = display_points(back.u), display_points(back.v)
    coarse = back.points(coarse_u, coarse_v).reshape(-1, 3)
    fine = back.points(u, v)
    beside = upsampled(gather.wall_radiosity(), back.middles, (coarse_u, coarse_v)).reshape(len(coarse), -1)
    sight = gather.room.sight(coarse)
    found: list[Charted] = []
    for axis, sense in ((2, 1.0), (0, 1.0), (0, -1.0), (1, 1.0), (1, -1.0)):
        normal = np.zeros(3)
        normal[axis] = sense
        indirect, seen = gather.at(coarse, normal, sight)
        if axis != 2:
            indirect += (1 - seen[:, None]) * beside
        shaped = indirect.reshape(len(coarse_u), len(coarse_v), -1)
        columns = gather.light.mixed(
            upsampled(shaped, (coarse_u, coarse_v), (u, v)), direct_columns(where, fine, normal)
        )
        found.append((2, where.front_z, normal, u, v, columns))
    return found


def groove_columns(gather: Gatherer, direct_nodes: Array) -> NDArray[np.float32]:
    """Irradiance at the nodes of every station of one wall (sa, sb, nodes, columns): much, so in single
    precision.
    """
    light = gather.light
    wall, basis = light.system.walls[gather.wall], light.basis
    stations = wall.field
    exchange = stations.groove.node_exchange()
    # at the nodes, by way of the zones: what light from outside gives under each solved finish
    onwards = [
        exchange @ (one.reflectance[wall.zone_class][:, None] * one.grooves[gather.wall])
        for one in basis.snapshots
    ]
    from_cells = light.of_snapshots(
        [in_groove(way, one.incoming[gather.wall]) for way, one in zip(onwards, basis.snapshots, strict=True)]
    )
    patches = stations.inward.shape[-1]
    sent = light.room.astype(np.float32)
    outside = (stations.inward.reshape(-1, patches) @ sent).reshape(from_cells.shape)
    seen = stations.inward.sum(axis=-1)
    if stations.node_cells.shape[-1]:
        outside += gather.from_fields(stations)
        seen = seen + stations.node_cells.sum(axis=-1)
    scale = (1 - exchange.sum(axis=1)) / np.maximum(seen, 1e-12)
    from_cells += outside * np.minimum(scale, 2)[..., None]
    zones = light.direct.zones[gather.wall]
    found = np.empty((*direct_nodes.shape[:3], light.columns + direct_nodes.shape[3]), np.float32)
    start = 0
    for lamp, (place, mix) in enumerate(zip(basis.direct_columns, basis.mix, strict=True)):
        count = mix.shape[1]
        # what the lamp gives by way of the zones, and what comes in
        way = np.tensordot(np.stack(onwards), mix, axes=(0, 0)).transpose(1, 0, 2)
        own = zones[..., lamp].reshape(-1, len(way)) @ way.reshape(len(way), -1)
        coming = wall.to_stations(from_cells[..., start : start + count])
        found[..., place] = direct_nodes[..., lamp]
        coming += own.reshape(coming.shape)
        found[..., place + 1 : place + 1 + count] = coming
        start += count
    return found
