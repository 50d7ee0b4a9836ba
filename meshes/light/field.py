"""The slat field: stations where its grooves are solved, and their exchange with the room through the
openings.

Every gap (or a graded choice of them) times graded heights along the slats is a station; at each the
representative groove is solved zone by zone. What the room sends in and gets back varies more slowly and is
exchanged at the cells of the room's back plane, and interpolated between their middles; the way back is the
transpose of the way in, so no energy is made or lost.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from meshes.light.direct import open_factor, wedge_factor
from meshes.light.grid import graded_edges
from meshes.light.groove import BASE, Groove, groove
from meshes.light.inward import inward_factors
from meshes.light.pockets import hole_share
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site

_LEAST_GAP_M = 1e-5
_MOST_ACROSS = 96
_SHADED_M = 0.05
"""Stations stand no farther apart where things throw shadows on them."""


def lamp_spacing(
    where: Site, axis: int, *, finest: float, coarsest: float, share: float
) -> Callable[[Array], Array]:
    """Wanted distance of samples along ``axis`` of the field: a ``share`` of the distance to the nearest lamp
    or, at the ends of the field, to that end."""
    low, high = where.face[axis]
    if len(where.things):
        coarsest = min(coarsest, _SHADED_M)

    def spacing(positions: Array) -> Array:
        nearest = np.minimum(positions - low, high - positions)
        for lamp in where.lamps:
            along, out = lamp.corners[:, axis], lamp.corners[:, 2]
            beside = np.minimum(np.abs(positions - along.min()), np.abs(positions - along.max()))
            nearest = np.minimum(nearest, np.hypot(beside, max(0.0, out.min() - where.front_z)))
        return np.asarray(np.clip(share * nearest, finest, coarsest))

    return spacing


def between(points: Array, at: Array) -> Array:
    """Weights (points, samples) of linear interpolation between samples ``at``, constant beyond the
    outermost.
    """
    weights = np.zeros((len(points), len(at)))
    if len(at) == 1:
        weights[:] = 1.0
        return weights
    upper = np.clip(np.searchsorted(at, points), 1, len(at) - 1)
    share = np.clip((points - at[upper - 1]) / (at[upper] - at[upper - 1]), 0.0, 1.0)
    rows = np.arange(len(points))
    weights[rows, upper - 1] = 1 - share
    weights[rows, upper] += share
    return weights


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The stations and their weights. Zones and nodes are those of ``groove``."""

    groove: Groove
    across: Array
    """(sa,) middle of the gap at each station [m]."""
    along: Array
    """(sb,) position along the slats of each station [m]."""
    across_size: Array
    along_size: Array
    """What each station stands for [m]; they sum to the field's two sides."""
    station_area: Array
    """(sa, sb) area of slats and gaps that each station stands for, openings left out [m2]."""
    zone_share: Array
    """(zones,) area of each zone per area of the field: fronts and one groove's section, times their
    number.
    """
    from_cells_a: Array
    from_cells_b: Array
    """(sa, ca), (sb, cb): interpolation from the cells of the room's back plane."""
    inward: Array
    """(ca, cb, nodes, patches): factor of each room patch at each node of the groove."""
    inward_front: Array
    """(ca, cb, patches): the same at the slat fronts."""
    node_cells: Array
    """(ca, cb, nodes, cells): factor of each cell of any field at each node; (..., 0) with one wall."""
    seen_cells: Array
    """(ca, cb, zones, cells): the same at each zone."""

    @property
    def node_normal_axis(self) -> Array:
        return np.where(self.groove.node_kind == BASE, 2, 0)

    def shown(self, slope: Array) -> Array:
        """What share of itself the field shows as each zone (..., zones), along a slope (...,) da/dz from the
        wall outwards; the shares sum to 1.
        """
        found = self.groove.seen(slope) * ((1 - self.zone_share[0]) / self.groove.gap)
        found[..., 0] = self.zone_share[0]
        return np.asarray(found)

    def node_positions(self, front_z: float) -> Array:
        """(sa, sb, nodes, 3) in the light frame [m]."""
        t_depth = self.groove.node_points
        found = np.empty((len(self.across), len(self.along), len(t_depth), 3))
        found[..., 0] = self.across[:, None, None] - self.groove.gap / 2 + t_depth[:, 0]
        found[..., 1] = self.along[:, None]
        found[..., 2] = front_z - t_depth[:, 1]
        return found


def _gap_choice(where: Site) -> Array:
    """Middles of the gaps that become stations: all of them, or a graded choice of at most
    ``_MOST_ACROSS``.
    """
    middles = where.gap_left + where.gap / 2
    middles = middles[(middles > where.face[0, 0]) & (middles < where.face[0, 1])]
    if len(middles) == 0:
        return np.array([where.face[0].mean()])
    if len(middles) <= _MOST_ACROSS:
        return np.asarray(middles)
    spacing = lamp_spacing(where, 0, finest=0.02, coarsest=1.0, share=0.2)
    wanted = graded_edges(middles[0], middles[-1], spacing)
    if len(wanted) > _MOST_ACROSS:
        wanted = np.interp(np.linspace(0, len(wanted) - 1, _MOST_ACROSS), np.arange(len(wanted)), wanted)
    nearest = np.unique(np.abs(middles[None, :] - wanted[:, None]).argmin(axis=1))
    return np.asarray(middles[nearest])


def field(wall: int, where: Site, room: RoomPatches) -> Field:
    """Stations of one wall's slat field, and its exchange with the room's patches. room : in its frame."""
    section = groove(
        slat_width=where.slat_width, gap=max(where.gap, _LEAST_GAP_M), depth=max(where.depth, _LEAST_GAP_M)
    )
    across = _gap_choice(where)
    low, high = where.face[1]
    edges = graded_edges(low, high, lamp_spacing(where, 1, finest=0.01, coarsest=0.12, share=0.15))
    along = (edges[1:] + edges[:-1]) / 2
    middles = where.gap_left + where.gap / 2
    gaps = int(((middles > where.face[0, 0]) & (middles < where.face[0, 1])).sum())
    side_a = float(where.face[0, 1] - where.face[0, 0])
    share = section.zone_width * gaps / side_a
    share[0] = 1 - section.gap * gaps / side_a
    back = room.planes[room.wall_plane[wall]]
    columns, rows = room.field_of(wall)
    inward, inward_cells, front, front_cells = inward_factors(wall, section, where, room)
    across_edges = np.concatenate([[where.face[0, 0]], (across[1:] + across[:-1]) / 2, [where.face[0, 1]]])
    area = np.outer(np.diff(across_edges), np.diff(edges))
    for hole in range(len(where.holes)):
        area = area * (1 - hole_share(where, hole, across_edges, edges))
    return Field(
        groove=section,
        across=across,
        along=along,
        across_size=np.diff(across_edges),
        along_size=np.diff(edges),
        station_area=np.maximum(area, 0.0),
        zone_share=share,
        from_cells_a=between(across, back.middles[0][columns]),
        from_cells_b=between(along, back.middles[1][rows]),
        inward=inward,
        inward_front=front,
        node_cells=inward_cells,
        seen_cells=np.concatenate([front_cells[:, :, None], inward_cells[:, :, section.zone_nodes]], axis=2),
    )


def direct_light(where: Site, stations: Field) -> tuple[Array, Array]:
    """Direct irradiance [lx] of each lamp at the nodes (sa, sb, nodes, lamps) and fronts (sa, sb, lamps)."""
    points = stations.node_positions(where.front_z)
    shape = points.shape[:-1]
    flat = points.reshape(-1, 3)
    axis = np.broadcast_to(stations.node_normal_axis, shape).ravel()
    low, high = (np.broadcast_to(side, shape).ravel() for side in stations.groove.wedge())
    nodes, fronts = [], []
    at = np.stack(
        np.broadcast_arrays(stations.across[:, None], stations.along[None, :], where.front_z), axis=-1
    )
    for number, lamp in enumerate(where.lamps):
        scale, others = np.pi * lamp.luminance, where.blockers(number)
        inside = wedge_factor(lamp, flat, axis, low, high, where.front_z, others)
        nodes.append(scale * inside.reshape(shape))
        fronts.append(scale * open_factor(lamp, at, np.array([0.0, 0.0, 1.0]), others))
    return np.stack(nodes, axis=-1), np.stack(fronts, axis=-1)
