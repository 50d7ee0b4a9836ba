"""Strips of the room's faces beside the body, behind the plane of the fronts: floor and ceiling where gaps
end on them, and the far side of a recess.

The end of a gap, seen along the slats, and the far side of a recess, in section::

    slat |. . opening . .| slat          body |  opening  .  receiver, ``deep`` below the opening
         |    *          |                    |           *
         |     receiver  |                    |           .
         +---------------+                    +-----------+

A point of the end sees what stands square to it, and reaches far along the slats, under the angle that it
fills in this section, over 2 pi: the limit of B-4 of Howell's catalogue for a high rectangle. [M: the entry's
number from memory; that the angles sum to 2 pi is held by a test.] The far side of a recess exchanges light
by crossed strings. Through the opening either sees the room as bright as the same face does just before it.
"""

from dataclasses import dataclass

import numpy as np

from meshes.light.chart_lines import chart_lines, display_points
from meshes.light.charts import Charted
from meshes.light.direct import cut_below
from meshes.light.field import Field, between
from meshes.light.gather import Gatherer
from meshes.light.groove import Groove
from meshes.light.polygon import Array, seen_vector
from meshes.light.shade import less_hidden
from meshes.light.site import Site
from meshes.light.slot import Region, Slot, regions

_ACROSS = (np.arange(6) + 0.5) / 6
"""Places across a gap over which its end is averaged: a picture shows no more of it."""
_DEPTHS = np.array([1e-4, 0.05, 0.12, 0.25, 0.5, 0.75, 0.9, 1.0])
"""Of the recess, as shares of its depth."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """A room face at one side of the body, in the light frame."""

    axis: int
    sense: float
    """Its normal along ``axis``, towards the body."""
    at: float
    low: float
    high: float
    """Extent along the body."""

    @property
    def normal(self) -> Array:
        """(3,) of length 1, towards the body."""
        found = np.zeros(3)
        found[self.axis] = self.sense
        return found

    def points(self, along: Array, z: Array) -> Array:
        """(n, 3) points from (n,) places along the strip and (n,) heights over the wall."""
        found = np.empty((len(along), 3))
        found[:, self.axis] = self.at
        found[:, 1 - self.axis] = along
        found[:, 2] = z
        return found


def strip_of(where: Site, axis: int, side: int) -> Strip:
    """The room's face at the low (0) or high (1) side of the body along an axis."""
    low, high = where.body[1 - axis]
    return Strip(
        axis=axis,
        sense=-1.0 if side else 1.0,
        at=float(where.box[axis, side]),
        low=float(low),
        high=float(high),
    )


def strip_columns(gather: Gatherer, stations: Field) -> list[Charted]:
    """A chart for each strip: those across a recess, and those on which gaps end."""
    where = gather.where
    found, beside = [], set()
    for region in regions(where):
        side = 1 if region.body_is_low else 0
        beside.add((region.across, side))
        found.append(_across_recess(strip_of(where, region.across, side), region, gather))
    if len(where.gap_left):
        for side in range(2):
            if (1, side) not in beside:
                found.append(_at_ends(strip_of(where, 1, side), side, gather, stations))
    return found


def _across_recess(strip: Strip, region: Region, gather: Gatherer) -> Charted:
    where = gather.where
    slot = Slot(region, where, gather)
    deep = slot.deep * _DEPTHS
    along = _along(strip, where)
    seen_from = np.repeat(along, len(deep))
    points = strip.points(seen_from, np.tile(where.front_z - deep, len(along)))
    plane = np.zeros_like(points)
    plane[:, strip.axis] = -strip.sense
    plane[:, 2] = slot.wide / np.tile(deep, len(along))
    direct = _direct(where, strip, points, (plane,)).reshape(len(along), len(deep), -1)
    open_share = (1 - deep / np.hypot(deep, slot.wide)) / 2
    indirect = open_share[:, None] * _before(strip, along, gather)[:, None]
    indirect = indirect + slot.at_far(points, np.tile(open_share, len(along))).reshape(indirect.shape)
    return _chart(strip, along, where.front_z - deep, gather.light.mixed(indirect, direct))


def _at_ends(strip: Strip, side: int, gather: Gatherer, stations: Field) -> Charted:
    where, section = gather.where, stations.groove
    deep = section.side_nodes.copy()
    deep[0] = 1e-4 * section.depth
    deep[-1] = (1 - 1e-6) * section.depth
    along = _along(strip, where)
    zones, opening = end_factors(section, deep)
    nearest = slice(-1, None) if side else slice(0, 1)
    sent = gather.light.sent_from_zones(gather.wall, (slice(None), nearest))[:, 0, 1:]
    if len(sent) > 1:
        sent = np.tensordot(between(along, stations.across), sent, axes=1)
    indirect = opening[:, None] * _before(strip, along, gather)[:, None]
    indirect = indirect + np.einsum("dz,azm->adm", zones, sent, optimize=True)
    # direct light in the gap that would stand here: its mean over the gap
    across = section.gap * _ACROSS
    a, d, t = (one.ravel() for one in np.meshgrid(along, deep, across, indexing="ij"))
    points = strip.points(a, where.front_z - d)
    one, zero = np.ones_like(t), np.zeros_like(t)
    planes = (np.stack([one, zero, t / d], -1), np.stack([-one, zero, (section.gap - t) / d], -1))
    lit = _direct(where, strip, points, planes)
    direct = lit.reshape(len(along), len(deep), len(across), -1).mean(axis=2)
    return _chart(strip, along, where.front_z - deep, gather.light.mixed(indirect, direct))


def end_factors(section: Groove, deep: Array) -> tuple[Array, Array]:
    """What the end of a gap sees at depths (n,), on average across the gap: of each zone but the front
    (n, zones - 1), and of the opening (n,). Rows sum to 1.
    """
    starts, ends = section.segments()
    starts = np.concatenate([starts, [[0.0, 0.0]]])
    ends = np.concatenate([ends, [[section.gap, 0.0]]])
    points = np.stack(np.meshgrid(section.gap * _ACROSS, deep, indexing="ij"), axis=-1)[..., None, :]
    one, two = starts - points, ends - points
    turned = np.abs(one[..., 0] * two[..., 1] - one[..., 1] * two[..., 0])
    angle = np.arctan2(turned, (one * two).sum(axis=-1))
    found = angle.mean(axis=0) / (2 * np.pi)
    return found[:, :-1], found[:, -1]


def _along(strip: Strip, where: Site) -> Array:
    return chart_lines(where, 1 - strip.axis, strip.low, strip.high, offset=(strip.axis, strip.at))


def _before(strip: Strip, along: Array, gather: Gatherer) -> Array:
    """Irradiance that the face would have just before the fronts if all it sees were that room (n, m)."""
    back = gather.back
    lines = display_points(back.v if strip.axis == 0 else back.u)
    points = strip.points(lines, np.full(len(lines), gather.where.front_z))
    indirect, seen = gather.at(points, strip.normal)
    whole = indirect / np.maximum(seen, 1e-9)[:, None]
    return np.asarray(np.tensordot(between(along, lines), whole, axes=1))


def _direct(where: Site, strip: Strip, points: Array, planes: tuple[Array, ...]) -> Array:
    """Irradiance [lx] of each lamp (n, lamps) at points (n, 3) that see out between planes through them."""
    found = np.zeros((len(points), len(where.lamps)))
    facing = np.broadcast_to(strip.normal, points.shape)
    for number, lamp in enumerate(where.lamps):
        polygon = cut_below(lamp.corners, where.front_z)
        lit = (points - lamp.corners[0]) @ lamp.normal > 1e-9
        if not len(polygon) or not lit.any():
            continue
        vector = seen_vector(polygon, points, (facing, *planes))
        whole = np.where(lit, np.abs(vector[:, strip.axis]), 0.0)
        seen = less_hidden(whole, polygon, points, facing, (facing, *planes), where.blockers(number))
        found[:, number] = np.pi * lamp.luminance * seen
    return found


def _chart(strip: Strip, along: Array, falling: Array, columns: Array) -> Charted:
    return strip.axis, strip.at, strip.normal, along, falling[::-1].copy(), columns[:, ::-1]
