"""Light between slatted walls that see each other: from gap to gap, round an inside corner.

The light from a zone of one field to a zone of another is taken twice, as the mean of two views of it: how
much of the other's cell, as a plane, the one zone sees, times how the other shows itself in that direction;
and the same the other way round. The mean is the same in both directions, so no energy is made or lost.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from meshes.light.field import Field
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site

_MOST = 0.97


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """How one field (cells c, zones z) stands to the cells d of another."""

    seen: Array
    """(c z, d) factor of each cell of the other at each zone."""
    shown: NDArray[np.float32]
    """(c, d, z) what share of itself the field shows as each of its zones, looked at from there."""
    power: Array
    """(c z,) area of each zone at each cell."""
    room: Array
    """(c z,) less than 1 where, close in the corner, the other field would take up more than there is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cross:
    """Two walls, by their numbers, and their views of each other."""

    one: int
    other: int
    from_one: View
    from_other: View

    def exchanged(self, one: Array, other: Array) -> tuple[Array, Array]:
        """What radiosities at the cells (ca, cb, z, m) of both give each other's zones."""
        flat = [cells.reshape(-1, *cells.shape[2:]) for cells in (one, other)]
        there = _received(self.from_one, self.from_other, flat[1])
        back = _received(self.from_other, self.from_one, flat[0])
        return there.reshape(one.shape), back.reshape(other.shape)

    def taken(self, wall: int) -> Array:
        """(ca cb, z) how much of each zone's light comes from the other wall."""
        mine, theirs = (self.from_one, self.from_other)[:: 1 if wall == self.one else -1]
        ones = np.ones((*theirs.shown.shape[::2], 1))
        return _received(mine, theirs, ones)[..., 0]


def _received(mine: View, theirs: View, radiosity: Array) -> Array:
    """Irradiance (c, z, m) from radiosities (d, z, m) of the other field."""
    cells, _, zones = mine.shown.shape
    columns = radiosity.shape[-1]
    radiosity = radiosity * theirs.room.reshape(*radiosity.shape[:2], 1)
    # what each cell of theirs shows to each of mine, as my zones see it
    shown = np.matmul(theirs.shown.transpose(1, 0, 2)[:, :, None, :], radiosity[None])[:, :, 0]
    seen = mine.seen.reshape(cells, zones, -1)
    first = np.matmul(seen, shown)
    # what their zones send to each cell of mine, as I show my zones to them
    sent = (theirs.seen * theirs.power[:, None]).reshape(*theirs.shown.shape[::2], -1)
    arrived = np.einsum("dzc,dzm->cdm", sent, radiosity, optimize=True)
    second = np.matmul(mine.shown.transpose(0, 2, 1), arrived)
    area = mine.power.reshape(cells, zones, 1)
    both = (first + second / np.maximum(area, 1e-12)).reshape(cells, zones, columns) / 2
    return np.asarray(both * mine.room.reshape(cells, zones, 1))


def crosses(walls: Sequence[Site], room: RoomPatches, fields: Sequence[Field]) -> tuple[Cross, ...]:
    """All pairs of walls that see each other. room : in world metres."""
    found = []
    for one in range(len(walls)):
        for other in range(one + 1, len(walls)):
            views = [
                _view(mine, theirs, walls, room, fields) for mine, theirs in ((one, other), (other, one))
            ]
            if min(view.seen.sum() for view in views) > 0:
                found.append(
                    _fitted(Cross(one=one, other=other, from_one=views[0], from_other=views[1]), fields)
                )
    return tuple(found)


def _view(mine: int, theirs: int, walls: Sequence[Site], room: RoomPatches, fields: Sequence[Field]) -> View:
    where, stations = walls[mine], fields[mine]
    start, stop = room.starts[theirs : theirs + 2]
    seen = stations.seen_cells[..., start:stop]
    centres = where.frame.points(cell_centres(theirs, walls[theirs], room))
    own = where.frame.points(cell_centres(mine, where, room))
    away = np.maximum(centres[None, :, 2] - where.front_z, 1e-3)
    slope = (centres[None, :, 0] - own[:, None, 0]) / away
    area = stations.from_cells_a.T @ stations.station_area @ stations.from_cells_b
    return View(
        seen=seen.reshape(-1, stop - start),
        shown=stations.shown(slope).astype(np.float32),
        power=(area[..., None] * stations.zone_share).ravel(),
        room=np.ones(seen.size // (stop - start)),
    )


def _fitted(cross: Cross, fields: Sequence[Field]) -> Cross:
    """The same, no zone taking more from the other wall than comes in through its opening."""
    views = []
    for wall, view in ((cross.one, cross.from_one), (cross.other, cross.from_other)):
        _, opening = fields[wall].groove.exchange()
        taken = cross.taken(wall)
        views.append(replace(view, room=np.minimum(1.0, _MOST * opening / np.maximum(taken, 1e-12)).ravel()))
    return replace(cross, from_one=views[0], from_other=views[1])


def cell_centres(wall: int, where: Site, room: RoomPatches) -> Array:
    """(ca cb, 3) in the world."""
    plane = room.planes[room.wall_plane[wall]].moved(where.frame)
    start, stop = room.starts[wall : wall + 2]
    own = (plane.cell >= start) & (plane.cell < stop)
    found = np.empty((stop - start, 3))
    found[plane.cell[own] - start] = where.frame.world(plane.points(*plane.middles)[own])
    return found
