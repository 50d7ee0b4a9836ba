"""Strips of wall beside the body, and the light between their sides."""

from dataclasses import dataclass

import numpy as np

from meshes.light.classes import CLASSES, ROOM
from meshes.light.field import between
from meshes.light.gather import Gatherer
from meshes.light.polygon import Array
from meshes.light.site import Site

_THIN_M = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """A rectangle of wall beside the body: ``across`` is the axis that leads away from it."""

    across: int
    body_is_low: bool
    """The body lies on the side of lower ``across``."""
    low: Array
    high: Array
    """(2,) its corners in a and b [m]."""
    at: float
    """Its plane z [m]."""


def regions(where: Site) -> list[Region]:
    """The strips of wall round the body that are wide enough to be seen."""
    found = []
    up = 0 if where.level else 1
    for axis in range(2):
        for side in range(2):
            low, high = where.box[:2, 0].copy(), where.box[:2, 1].copy()
            if side == 0:
                high[axis] = where.body[axis, 0]
            else:
                low[axis] = where.body[axis, 1]
            at = 0.0
            if axis == up and side == 0 and where.skirting is not None:
                at = where.skirting[1]
            if high[axis] - low[axis] > _THIN_M and where.front_z - at > _THIN_M:
                found.append(Region(across=axis, body_is_low=side == 1, low=low, high=high, at=at))
    return found


class Slot:
    """The recess of one region as a channel: its base is the wall, one side the body, the other, where the
    recess is narrow, a side of the room. What its sides send follows from the light at its opening, which is
    known at every place along it, by exchange between the three (crossed strings).

    ::

        body |   opening   |  side of the room
             |             |  deep
             +-------------+
                  wide
    """

    def __init__(self, region: Region, where: Site, gather: Gatherer) -> None:
        self.region = region
        axis = region.across
        edge = 2 * axis + (1 if region.body_is_low else 0)
        self.edge = float(region.low[axis] if region.body_is_low else region.high[axis])
        self.wide = float(region.high[axis] - region.low[axis])
        self.deep = where.front_z - region.at
        back = gather.back
        light = gather.light
        # the row of patches beside the body: what falls on them, and what lies there
        lines, other = (back.u, back.v) if axis == 0 else (back.v, back.u)
        beside = self.edge + (1e-3 if region.body_is_low else -1e-3)
        row = int(np.clip(np.searchsorted(lines, beside) - 1, 0, len(lines) - 2))
        patch = back.patch[row] if axis == 0 else back.patch[:, row]
        self.along = ((other[1:] + other[:-1]) / 2)[patch >= 0]
        patch = patch[patch >= 0]
        wide, deep = self.wide, self.deep
        slant = float(np.hypot(wide, deep))
        base_open, base_side = (slant - deep) / wide, (wide + deep - slant) / (2 * wide)
        side_open, side_side = (wide + deep - slant) / (2 * deep), (slant - wide) / deep
        exchange = np.array([[0, base_side, base_side], [side_open, 0, side_side], [side_open, side_side, 0]])
        opening = np.array([base_open, side_open, side_open])
        wall = np.eye(len(CLASSES))[ROOM] * where.reflectance[2]
        base = gather.room.weight[patch].mean(axis=0) if len(patch) else wall
        far = wall
        mixes = np.stack([base, where.edges[edge], far])
        self.sent = np.zeros((0, 3, light.columns))
        """(n, 3, vectors) what base, body and far side send, at the places ``along``."""
        if len(patch):
            sent = []
            for finish in light.basis.snapshots:
                rho = mixes @ finish.reflectance
                share = rho * np.linalg.solve(np.eye(3) - exchange * rho, opening)
                sent.append(finish.room[patch][:, None, :] * share[:, None])
            self.sent = light.of_snapshots(sent)

    def _sent(self, points: Array) -> Array:
        """(n, 3, vectors) the same at the places of points along the recess."""
        if not len(self.along):
            return np.zeros((len(points), *self.sent.shape[1:]))
        return np.tensordot(between(points[:, 1 - self.region.across], self.along), self.sent, axes=1)

    def at_base(self, points: Array, open_share: Array) -> Array:
        """Light (n, m) from the two sides at points (n, 3) of the base, which see ``open_share`` of room."""
        away = np.abs(points[:, self.region.across] - self.edge)
        body = (1 - away / np.hypot(away, self.deep)) / 2
        far = np.maximum(1 - open_share - body, 0.0)
        sent = self._sent(points)
        return np.asarray(body[:, None] * sent[:, 1] + far[:, None] * sent[:, 2])

    def at_far(self, points: Array, open_share: Array) -> Array:
        """Light (n, m) from the base and the body at points (n, 3) of the room's side across the recess."""
        return self._at_side(points, open_share, opposite=1)

    def at_body(self, points: Array, open_share: Array) -> Array:
        """Light (n, m) from the base and the far side at points (n, 3) of the body's outer side."""
        return self._at_side(points, open_share, opposite=2)

    def _at_side(self, points: Array, open_share: Array, *, opposite: int) -> Array:
        above = np.maximum(points[:, 2] - self.region.at, 0.0)
        base = (1 - above / np.hypot(above, self.wide)) / 2
        rest = np.maximum(1 - open_share - base, 0.0)
        sent = self._sent(points)
        return np.asarray(base[:, None] * sent[:, 0] + rest[:, None] * sent[:, opposite])
