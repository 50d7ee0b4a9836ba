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
from meshes.light.groove import BASE, LEFT, Groove, groove
from meshes.light.polygon import Array, facing_grid, square_grid, wedge_grid
from meshes.light.room_patches import RoomPatches, graded_edges
from meshes.light.site import Site

_LEAST_GAP_M = 1e-5
_MOST_ACROSS = 96


def lamp_spacing(
    where: Site, axis: int, *, finest: float, coarsest: float, share: float
) -> Callable[[Array], Array]:
    """Wanted distance of samples along ``axis`` of the field: a ``share`` of the distance to the nearest lamp
    or, at the ends of the field, to that end."""
    low, high = where.face[axis]

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

    @property
    def node_normal_axis(self) -> Array:
        return np.where(self.groove.node_kind == BASE, 2, 0)

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


def _sizes(at: Array, low: float, high: float) -> Array:
    edges = np.concatenate([[low], (at[1:] + at[:-1]) / 2, [high]])
    return np.diff(edges)


def _inward(section: Groove, where: Site, room: RoomPatches) -> tuple[Array, Array]:
    """Factors of all room patches at the nodes of a groove, and at a slat front, at each cell's middle."""
    back = room.planes[4]
    a = ((back.u[1:] + back.u[:-1]) / 2)[room.field_a]
    b = ((back.v[1:] + back.v[:-1]) / 2)[room.field_b]
    t, depth = section.node_points[:, 0], section.node_points[:, 1]
    kind = section.node_kind
    low, high = section.wedge()
    shape = (len(a), len(b), len(t))
    low, high = np.broadcast_to(low, shape), np.broadcast_to(high, shape)
    at_a = np.broadcast_to(a[:, None, None] - section.gap / 2 + t, shape)
    at_b = np.broadcast_to(b[None, :, None], shape)
    at_z = np.broadcast_to(where.front_z - depth, shape)
    facing = np.where(kind == LEFT, 1.0, -1.0)[:, None]  # of the sides, along a
    is_base = (kind == BASE)[:, None, None]
    seen: list[Array] = []
    for plane in room.planes:
        first, second = plane.u, plane.v
        if plane.axis == 0:  # u = b, v = z
            away = plane.at - at_a
            slope = high if plane.side else -low
            with np.errstate(divide="ignore"):
                opened = np.where(slope > 0, np.abs(away) / slope, np.inf)[..., None]
            z = second - at_z[..., None]
            z = np.clip(z, np.minimum(opened, z[..., -1:]), None)
            u = first - at_b[..., None]
            base = np.swapaxes(square_grid(z, u, np.abs(away)), -1, -2)
            side = facing_grid(u, z, np.abs(away))
            looks = ((kind == LEFT) == bool(plane.side))[:, None, None]
            seen.append(np.where(is_base, np.abs(base), np.where(looks, np.abs(side), 0.0)))
        elif plane.axis == 1:  # u = a, v = z
            side, base = wedge_grid(
                first - at_a[..., None], second - at_z[..., None], plane.at - at_b, low, high
            )
            seen.append(np.where(is_base, base, side))
        elif plane.side == 0:
            seen.append(np.zeros((*shape, len(first) - 1, len(second) - 1)))
        else:  # u = a, v = b
            away = plane.at - at_z
            u = np.clip(first - at_a[..., None], (low * away)[..., None], (high * away)[..., None])
            v = second - at_b[..., None]
            base = facing_grid(u, v, away)
            side = square_grid(u * facing, v, away)
            seen.append(np.abs(np.where(is_base, base, side)))
    fronts = np.stack(np.broadcast_arrays(a[:, None], b[None, :], where.front_z), axis=-1)
    front, _ = room.seen_from(fronts, np.array([0.0, 0.0, 1.0]))
    return room.spread(seen), front


def field(where: Site, room: RoomPatches) -> Field:
    """Stations of the site's slat field, and its exchange with the room's patches."""
    section = groove(
        slat_width=where.slat_width, gap=max(where.gap, _LEAST_GAP_M), depth=max(where.depth, _LEAST_GAP_M)
    )
    across = _gap_choice(where)
    low, high = where.face[1]
    edges = graded_edges(low, high, lamp_spacing(where, 1, finest=0.01, coarsest=0.12, share=0.15))
    along = (edges[1:] + edges[:-1]) / 2
    gaps = len(where.gap_left)
    side_a = float(where.face[0, 1] - where.face[0, 0])
    share = section.zone_width * gaps / side_a
    share[0] = 1 - section.gap * gaps / side_a
    back = room.planes[4]
    cells_a = ((back.u[1:] + back.u[:-1]) / 2)[room.field_a]
    cells_b = ((back.v[1:] + back.v[:-1]) / 2)[room.field_b]
    inward, front = _inward(section, where, room)
    return Field(
        groove=section,
        across=across,
        along=along,
        across_size=_sizes(across, *where.face[0]),
        along_size=np.diff(edges),
        zone_share=share,
        from_cells_a=between(across, cells_a),
        from_cells_b=between(along, cells_b),
        inward=inward,
        inward_front=front,
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
