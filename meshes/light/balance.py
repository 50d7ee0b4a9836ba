"""The light system of a site: its exchange gathered from room and fields, and balanced."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from meshes.light.classes import class_of
from meshes.light.cross import crosses
from meshes.light.field import Field
from meshes.light.groove import BASE, FRONT
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site
from meshes.light.system import System, Wall


def system(walls: Sequence[Site], room: RoomPatches, fields: Sequence[Field]) -> System:
    """The light system of a room and its walls. room : in world metres."""
    found, seen = [], crosses(walls, room, fields)
    inward, openings, weights = [], [], []
    for number, stations in enumerate(fields):
        section = stations.groove
        exchange, opening = section.exchange()
        cells = np.concatenate(
            [stations.inward_front[:, :, None, :], stations.inward[:, :, section.zone_nodes, :]], axis=2
        )
        area = stations.from_cells_a.T @ stations.station_area @ stations.from_cells_b
        zone_class = np.where(
            section.zone_kind == FRONT,
            class_of("slat_front"),
            np.where(section.zone_kind == BASE, class_of("fabric"), class_of("slat_side")),
        )
        wanted = np.broadcast_to(opening, cells.shape[:3])
        for cross in seen:
            if number in (cross.one, cross.other):
                wanted = wanted - cross.taken(number).reshape(wanted.shape)
        inward.append(np.ascontiguousarray(cells))
        openings.append(np.maximum(wanted, 0.02 * opening))
        weights.append(area[..., None] * stations.zone_share)
        found.append((stations, zone_class, exchange, area))
    room_exchange, balanced, seen_area = _balanced(room.exchange(), inward, openings, weights, room.area)
    del inward
    return System(
        walls=tuple(
            Wall(
                field=stations,
                zone_class=zone_class,
                groove_exchange=exchange,
                inward=cells,
                cell_area=area,
                cell_overlap=_overlap(stations),
            )
            for (stations, zone_class, exchange, area), cells in zip(found, balanced, strict=True)
        ),
        room_weight=room.weight * (1 - _covered(walls[0], room))[:, None],
        room_exchange=room_exchange,
        room_area=seen_area,
        room_open=seen_area / room.area,
        crosses=seen,
    )


def _overlap(stations: Field) -> Array:
    """(ca, 3, cb, cb) see ``Wall.cell_overlap``."""
    a, b = stations.from_cells_a, stations.from_cells_b
    along = stations.station_area @ (b[:, :, None] * b[:, None, :]).reshape(len(b), -1)
    found = np.zeros((a.shape[1], 3, b.shape[1], b.shape[1]))
    for column in range(a.shape[1]):
        for place, other in enumerate(range(column - 1, column + 2)):
            if 0 <= other < a.shape[1]:
                found[column, place] = ((a[:, column] * a[:, other]) @ along).reshape(found.shape[2:])
    return found


MOST_ROUNDS, SETTLED = 120, 1e-6
"""Rounds of balancing, and the change of factors by which they end; beside a thing it takes dozens."""
SHUT_IN, LEAST_OPEN = 0.7, 0.02
"""A patch that sees less of its surroundings is shut in by solids; the least share that counts as open."""


def _balanced(
    room: Array, inward: Sequence[Array], openings: Sequence[Array], weights: Sequence[Array], area: Array
) -> tuple[Array, list[NDArray[np.float32]], Array]:
    """Symmetric exchange areas scaled until every patch's factors sum to 1 and every zone's to its opening.

    room : (p, p) factors; for each wall inward : (ca, cb, z, p), openings : (z,) or (ca, cb, z), weights :
    (ca, cb, z) areas; area : (p,). Both kinds of factors are large, and are scaled where they
    stand, by a few tenths of a per cent: that takes up what sampling a patch at four points leaves. A patch
    that is shut in by solids counts with the share of its area that is open; that area of every patch comes
    last.
    """
    room *= area[:, None]
    exchange = room + room.T
    exchange /= 2
    patches = len(area)
    flat = [one.reshape(-1, patches) for one in inward]
    wanted = [np.broadcast_to(one, of.shape[:3]).ravel() for one, of in zip(openings, inward, strict=True)]
    heavy = [one.ravel().astype(np.float32) for one in weights]
    columns, aim, sees = np.ones(patches), area, np.ones(patches, dtype=bool)
    for number in range(MOST_ROUNDS):
        rows = [_rows(w, f, columns) for w, f in zip(wanted, flat, strict=True)]
        reach = exchange @ columns
        for f, h, r in zip(flat, heavy, rows, strict=True):
            reach += f.T @ (h * r).astype(np.float32)
        if number == 0:
            aim = np.where(reach < SHUT_IN * area, np.maximum(reach, LEAST_OPEN * area), area)
            sees = aim > LEAST_OPEN * area
        step = np.sqrt(aim[sees] / (reach * columns)[sees])
        columns[sees] *= step
        if np.abs(step - 1).max() < SETTLED:
            break
    rows = [_rows(w, f, columns) for w, f in zip(wanted, flat, strict=True)]
    exchange *= columns
    exchange *= columns[:, None]
    exchange /= aim[:, None]
    across = columns.astype(np.float32)
    scaled = []
    for of_wall, one_rows, one in zip(flat, rows, inward, strict=True):
        of_wall *= one_rows[:, None].astype(np.float32)
        of_wall *= across
        scaled.append(of_wall.reshape(one.shape).astype(np.float32))
    return exchange, scaled, aim


def _rows(wanted: Array, factors: Array, columns: Array) -> Array:
    """What each zone's factors are to be scaled by, so that they add up to what is wanted."""
    found = factors @ columns.astype(np.float32)
    return np.asarray(wanted / np.maximum(found, 1e-30), dtype=np.float64)


def _covered(where: Site, room: RoomPatches) -> Array:
    """Share of each patch that lies behind a lamp close in front of it (within a quarter of its side)."""
    covered = np.zeros(len(room.area))
    planes = room.moved(where.frame).planes
    for lamp in where.lamps:
        axis = int(np.argmax(np.abs(lamp.normal)))
        if abs(lamp.normal[axis]) < 0.999:
            continue
        low, high = lamp.corners.min(axis=0), lamp.corners.max(axis=0)
        near = 0.25 * np.sqrt(np.prod(np.delete(high - low, axis)))
        for plane in planes:
            if plane.axis != axis or abs(plane.at - low[axis]) > near or plane.normal @ lamp.normal < 0:
                continue
            overlaps = []
            for tangent, edges in zip(plane.tangents, (plane.u, plane.v), strict=True):
                inside = np.minimum(edges[1:], high[tangent]) - np.maximum(edges[:-1], low[tangent])
                overlaps.append(np.maximum(inside, 0) / np.diff(edges))
            kept = plane.patch >= 0
            covered[plane.patch[kept]] += np.outer(*overlaps)[kept]
    return np.minimum(covered, 1.0)
