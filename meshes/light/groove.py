"""The groove between two slats: graded zones, their exact exchange, and what of it a direction sees.

Section across the slats (t across, 0 at the left slat; depth counted inwards from the slat fronts)::

      front          opening           front
    +--------+  - - - - - - - - -  +--------+   depth 0
    |        | left          right |        |
    |  slat  | 0                   |        |
    |        | 1   base 0 1 2 ...  |        |
    +--------+---------------------+--------+   depth d

Zones in order: front (the slat's face), left and right (from the lip inwards), base (from the left).
Exchange is by crossed strings (Hottel & Sarofim, Radiative Transfer, 1967): exact for slats much longer
than the gap. Nodes are the points where irradiance is shown: the middle of each zone and the two ends of
each side.
"""

from dataclasses import dataclass

import numpy as np

from meshes.light.polygon import Array

FRONT, LEFT, RIGHT, BASE = 0, 1, 2, 3


def graded(length: float, count: int, *, growth: float) -> Array:
    """``count`` + 1 edges over [0, length], fine at both ends; neighbours differ by the factor ``growth``."""
    half = growth ** np.minimum(np.arange(count), np.arange(count)[::-1])
    edges = np.concatenate([[0.0], np.cumsum(half)])
    return np.asarray(edges * (length / edges[-1]))


def _nodes(edges: Array) -> Array:
    return np.concatenate([edges[:1], (edges[1:] + edges[:-1]) / 2, edges[-1:]])


@dataclass(frozen=True, slots=True, kw_only=True)
class Groove:
    """Zones and nodes of one groove [m]."""

    slat_width: float
    gap: float
    depth: float
    side_edges: Array
    """(n + 1,) depths of the side zones' edges."""
    base_edges: Array
    """(m + 1,) t of the base zones' edges."""

    @property
    def zone_kind(self) -> Array:
        n, m = len(self.side_edges) - 1, len(self.base_edges) - 1
        return np.repeat([FRONT, LEFT, RIGHT, BASE], [1, n, n, m])

    @property
    def zone_width(self) -> Array:
        side, base = np.diff(self.side_edges), np.diff(self.base_edges)
        return np.concatenate([[self.slat_width], side, side, base])

    @property
    def node_kind(self) -> Array:
        n, m = len(self.side_edges) + 1, len(self.base_edges) + 1
        return np.repeat([LEFT, RIGHT, BASE], [n, n, m])

    @property
    def side_nodes(self) -> Array:
        return _nodes(self.side_edges)

    @property
    def base_nodes(self) -> Array:
        return _nodes(self.base_edges)

    @property
    def node_points(self) -> Array:
        """(nodes, 2): t and depth of each node; those on an edge lie a hair inside it."""
        hair = 1e-6 * min(self.gap, self.depth)
        side = np.clip(self.side_nodes, hair, self.depth - hair)
        base = np.clip(self.base_nodes, hair, self.gap - hair)
        return np.concatenate(
            [
                np.stack([np.zeros_like(side), side], -1),
                np.stack([np.full_like(side, self.gap), side], -1),
                np.stack([base, np.full_like(base, self.depth)], -1),
            ]
        )

    @property
    def zone_nodes(self) -> Array:
        """Index among the nodes of the middle of each groove zone (all zones but the front)."""
        n, m = len(self.side_edges) - 1, len(self.base_edges) - 1
        return np.concatenate([1 + np.arange(n), n + 3 + np.arange(n), 2 * n + 5 + np.arange(m)])

    def segments(self) -> tuple[Array, Array]:
        """End points (zones without the front, 2) of each strip in the section."""
        s, b = self.side_edges, self.base_edges
        left, right = np.stack([0 * s, s], -1), np.stack([0 * s + self.gap, s], -1)
        base = np.stack([b, 0 * b + self.depth], -1)
        starts = np.concatenate([left[:-1], right[:-1], base[:-1]])
        ends = np.concatenate([left[1:], right[1:], base[1:]])
        return starts, ends

    def exchange(self) -> tuple[Array, Array]:
        """Factors zone to zone (zones, zones) and zone to opening (zones,); each row and its opening sum to
        1.
        """
        starts, ends = self.segments()
        starts = np.concatenate([starts, [[0.0, 0.0]]])
        ends = np.concatenate([ends, [[self.gap, 0.0]]])

        def apart(p: Array, q: Array) -> Array:
            return np.asarray(np.linalg.norm(p[:, None] - q[None], axis=-1))

        crossed = apart(starts, starts) + apart(ends, ends)
        uncrossed = apart(starts, ends) + apart(ends, starts)
        strings = np.abs(crossed - uncrossed) / 2
        np.fill_diagonal(strings, 0.0)
        kinds = np.concatenate([self.zone_kind[1:], [-1]])
        strings[kinds[:, None] == kinds[None]] = 0.0  # strips of one plane do not see each other
        factors = strings / np.linalg.norm(ends - starts, axis=-1)[:, None]
        zones = len(self.zone_width)
        exchange, opening = np.zeros((zones, zones)), np.ones(zones)
        exchange[1:, 1:], opening[1:] = factors[:-1, :-1], factors[:-1, -1]
        return exchange, opening

    def node_exchange(self) -> Array:
        """Factors from each node to each zone (nodes, zones): half the difference of the sines."""
        starts, ends = self.segments()
        points, kinds = self.node_points, self.node_kind
        tangent_is_depth = (kinds != BASE)[:, None]

        def sine(targets: Array) -> Array:
            way = targets[None] - points[:, None]
            along = np.where(tangent_is_depth, way[..., 1], way[..., 0])
            return np.asarray(along / np.maximum(np.linalg.norm(way, axis=-1), 1e-300))

        factors = np.abs(sine(starts) - sine(ends)) / 2
        factors[kinds[:, None] == self.zone_kind[None, 1:]] = 0.0
        return np.concatenate([np.zeros((len(points), 1)), factors], axis=1)

    def wedge(self) -> tuple[Array, Array]:
        """Slopes dt/dz (lowest, highest) between which each node sees out through the opening."""
        t, depth = self.node_points[:, 0], self.node_points[:, 1]
        return -t / depth, (self.gap - t) / depth

    def seen(self, slope: Array) -> Array:
        """Width across the slats [m] of each zone as seen from outside, in the plane of the fronts.

        ``slope`` (...,) = dt/dz of the line of sight, from the groove outwards. Returns (..., zones); a row
        sums to the pitch.
        """
        steep = np.abs(slope)[..., None]
        deepest = np.minimum(self.depth, self.gap / np.maximum(steep, 1e-12))
        side = steep * np.diff(np.minimum(self.side_edges, deepest), axis=-1)
        shift = steep * self.depth
        low = np.where(slope[..., None] < 0, shift, 0.0)
        high = np.where(slope[..., None] < 0, self.gap, self.gap - shift)
        base = np.diff(np.clip(self.base_edges, np.minimum(low, self.gap), np.maximum(high, 0.0)), axis=-1)
        base = np.where(shift < self.gap, base, 0.0)
        front = np.full((*np.shape(slope), 1), self.slat_width)
        rightwards = slope[..., None] >= 0
        return np.concatenate([front, np.where(rightwards, side, 0), np.where(rightwards, 0, side), base], -1)


def groove(*, slat_width: float, gap: float, depth: float) -> Groove:
    """A groove with graded zones, more of them the deeper it is; lengths in metres, all > 0."""
    side_zones = int(np.clip(round(7 + 2.5 * depth / gap), 8, 18))
    base_zones = 9  # odd: a node lies in the middle
    return Groove(
        slat_width=slat_width,
        gap=gap,
        depth=depth,
        side_edges=graded(depth, side_zones, growth=1.45),
        base_edges=graded(gap, base_zones, growth=1.35),
    )
