"""Exact irradiance from Lambertian polygons: Lambert's formula over clipped edges, and its closed forms for
rectangles that lie square to the receiver.

A polygon is carried as a bag of directed edges seen from the receiver; clipping by a plane through the
receiver shortens the edges and adds one closing edge. The order of the edges does not matter to the sum:

    vector irradiance / pi  =  1/(2 pi) * sum of angle(start, end) * unit(start x end)

Source: J. H. Lambert, Photometria (1760), as in P. Schröder & P. Hanrahan, "On the form factor between two
polygons", SIGGRAPH 1993, eq. 1; the rectangle forms are entries B-3 and B-4 of Howell's catalogue. [M:
numbers of the entries from memory; the formulas are held against sampling and against C-11 and C-14 in the
tests.]
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


_AT_ONCE = 1 << 12
"""Receivers whose edges are in the making together: more would not stay in the processor's cache."""


def seen_vector(polygon: Array, points: Array, planes: Sequence[Array] = ()) -> Array:
    """Vector irradiance over pi (n, 3) of one convex polygon (k, 3) of radiance 1 at points (n, 3), as far as
    it lies on the inner side of ``planes``, (n, 3) inward normals of planes through the points.

    Its product with a receiver's normal is the configuration factor, when all that is seen lies above that
    receiver's horizon. The sign follows the polygon's turning sense.
    """
    found = np.empty(points.shape)
    for first in range(0, len(points), _AT_ONCE):
        part = slice(first, first + _AT_ONCE)
        edges = seen_edges(polygon, points[part], [plane[part] for plane in planes])
        found[part] = lambert_sum(*edges).T
    return found


def seen_edges(polygon: Array, points: Array, planes: Sequence[Array]) -> tuple[Array, Array]:
    """Starts and ends (3, edges, n) [m] of what ``seen_vector`` sees, from each point.

    Coordinates come first here, and points last: products over many points are several times as fast so.
    """
    start = polygon.T[:, :, None] - points.T[:, None, :]
    end = np.roll(start, -1, axis=1)
    for plane in planes:
        start, end = clip(start, end, plane.T)
    return start, end


def clip(start: Array, end: Array, normal: Array) -> tuple[Array, Array]:
    """Keep what lies on the side of ``normal`` (3, n) of the plane through the receiver.

    Edges (3, k, n) of convex polygons become (3, k + 1, n); edges outside collapse to points.
    """
    before, after = (at[0] * normal[0] + at[1] * normal[1] + at[2] * normal[2] for at in (start, end))
    starts_out, ends_out = before < 0, after < 0
    if not starts_out.any():
        return start, end
    crosses = starts_out != ends_out
    share = np.divide(before, before - after, out=np.zeros_like(before), where=crosses)
    crossing = start + share * (end - start)
    enters, leaves = crosses & starts_out, crosses & ends_out
    first = np.empty((3, len(before) + 1, before.shape[1]))
    last = np.empty_like(first)
    first[:, :-1] = np.where(enters, crossing, start)
    last[:, :-1] = np.where(ends_out, np.where(leaves, crossing, first[:, :-1]), end)
    first[:, -1] = (crossing * leaves).sum(axis=1)
    last[:, -1] = (crossing * enters).sum(axis=1)
    return first, last


def lambert_sum(start: Array, end: Array) -> Array:
    """The sum of Lambert's formula (3, n) over edges (3, k, n)."""
    (sx, sy, sz), (ex, ey, ez) = start, end
    cross = np.stack([sy * ez - sz * ey, sz * ex - sx * ez, sx * ey - sy * ex])
    length = np.sqrt((cross * cross).sum(axis=0))
    angle = np.arctan2(length, sx * ex + sy * ey + sz * ez)
    weight = np.divide(angle, length, out=np.zeros_like(angle), where=length > 1e-300) / (2 * np.pi)
    return np.asarray((weight * cross).sum(axis=1))


def facing_grid(x: Array, y: Array, distance: Array) -> Array:
    """Factors of the rectangles between grid lines, plane parallel to the receiver.

    ``x`` (..., m), ``y`` (..., n): lines relative to the foot of the receiver's normal [m]; ``distance``
    (...,) > 0. Returns (..., m - 1, n - 1).
    """
    h2 = (distance * distance)[..., None, None]
    u, v = x[..., :, None], y[..., None, :]
    ru, rv = np.sqrt(u * u + h2), np.sqrt(v * v + h2)
    corner = (u / ru * np.arctan(v / ru) + v / rv * np.arctan(u / rv)) / (2 * np.pi)
    return np.asarray(np.diff(np.diff(corner, axis=-2), axis=-1))


def square_grid(x: Array, y: Array, distance: Array) -> Array:
    """Factors of the rectangles between grid lines, plane square to the receiver, ``x`` along its normal.

    Lines at x < 0 are below the receiver's horizon and count as x = 0. Shapes as ``facing_grid``.
    """
    h = distance[..., None, None]
    u, v = np.maximum(x, 0.0)[..., :, None], y[..., None, :]
    r = np.sqrt(u * u + h * h)
    corner = -h / r * np.arctan(v / r) / (2 * np.pi)
    return np.asarray(np.diff(np.diff(corner, axis=-2), axis=-1))


def wedge_grid(x: Array, y: Array, distance: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Factors of the rectangles between grid lines, plane square to a groove's length, seen through its
    opening.

    The receiver looks out between the slopes ``low`` <= 0 <= ``high`` of x over y; the plane is
    ``distance`` off along the groove. ``x`` (..., m), ``y`` (..., n) > 0: lines relative to the receiver;
    the others (...,). Returns the factors (..., m - 1, n - 1) for a normal along |x| (sides) and for one
    along y (base).

    Line integrals round each clipped rectangle: factor = closed integral of h / (2 pi R^2) dx for the base,
    and of -h / (2 pi R^2) dy for a side (Green's theorem on x h / (pi R^4)).
    """
    h = np.abs(distance)[..., None, None]
    s1, s2 = low[..., None, None], high[..., None, None]
    u, v = x[..., :, None], y[..., None, :]
    # edges at constant y, from line i to i + 1 of x, inside the wedge
    rv = np.sqrt(h * h + v * v)
    level = h / rv * np.diff(np.arctan(np.clip(u, s1 * v, s2 * v) / rv), axis=-2)
    # edges at constant x, inside the wedge: beyond the y at which the wedge has opened that far
    with np.errstate(divide="ignore", invalid="ignore"):
        opened = np.where(u > 0, u / s2, np.where(u < 0, u / s1, 0.0))
    ru = np.sqrt(h * h + u * u)
    upright = h / ru * np.diff(np.arctan(np.maximum(v, opened) / ru), axis=-1)
    upright = np.where(np.isfinite(opened), upright, 0.0)
    base = level[..., :, :-1] - level[..., :, 1:]
    side = upright[..., :-1, :] - upright[..., 1:, :]
    # the wedge's own two planes, where they cross the rectangle: x = s y
    for s, sense in ((s2, 1.0), (s1, -1.0)):
        near = np.clip(np.where(s > 0, u / np.where(s == 0, 1, s), 0.0), 0, None)
        far = np.where(s > 0, near, np.where(s < 0, np.clip(u / np.where(s == 0, 1, s), 0, None), 0.0))
        starts = np.where(s > 0, far[..., :-1, :], far[..., 1:, :])
        ends = np.where(s > 0, far[..., 1:, :], far[..., :-1, :])
        before, after = u[..., :-1, :], u[..., 1:, :]
        holds = (before <= 0) & (after > 0) if sense > 0 else (before < 0) & (after >= 0)
        upright_line = (s == 0) & holds
        starts = np.where(s == 0, 0.0, starts)
        ends = np.where(s == 0, np.where(upright_line, np.inf, 0.0), ends)
        first = np.clip(v[..., :-1], starts, ends)
        last = np.clip(v[..., 1:], starts, ends)
        stretch = np.sqrt(1 + s * s)
        angle = (np.arctan(last * stretch / h) - np.arctan(first * stretch / h)) / stretch
        base = base + sense * s * angle
        side = side - sense * angle
    return np.abs(side) / (2 * np.pi), np.maximum(base, 0.0) / (2 * np.pi)
