"""A clear coat's first surface: how much of a polygon of light a rough dielectric mirrors towards the eye.

Facets follow the distribution of Trowbridge and Reitz (GGX). Over the slopes (p, q) of facets it is

    D (n.h) dw_h = dp dq / (pi alpha^2 (1 + (p^2 + q^2) / alpha^2)^2)

which, in slopes over alpha, is the very integrand of Lambert's factor of a polygon that lies at height 1
over a point: cos cos / (pi r^2). So the share of facets that mirror a lamp towards the eye is found in
closed form, without sampling: carry the lamp's corners to the slopes of their half vectors, and ask for that
factor::

        eye      lamp             slopes / alpha
          .  h  .               +------------------+
         v .  | . l             |     .------.     |  height 1
            . |.          =>    |     | lamp |     |
       -------+-------          +-----'------'-----+
              n                          o   straight above the point lies the mirror's direction

What varies slowly over a lamp (Fresnel, shadowing) is taken once a cell of it:

    radiance = luminance * sum over cells of share * F(v.h) G2(l, v) (v.h) / ((n.v) (n.h))

Sources: B. Walter et al., "Microfacet models for refraction through rough surfaces", EGSR 2007 (eq. 20, 33);
E. Heitz, "Understanding the masking-shadowing function", JCGT 3(2), 2014 (eq. 72, 99); Fresnel in the form of
R. Cook and K. Torrance, ACM TOG 1(1), 1982. [M: equation numbers from memory; tests hold the sums against
sampling and against a mirror.]
"""

from dataclasses import dataclass

import numpy as np

from meshes.light.polygon import Array, lambert_sum, seen_edges

_FLATTEST = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Coat:
    """f0 : reflectance at normal incidence, 0 to 1; alpha : width of the slopes, 0 mirror to 1 matt; matt :
    share of the reflection that is scattered evenly and not treated here."""

    f0: float
    alpha: float
    matt: float = 0.0


def fresnel(cosine: Array, f0: float) -> Array:
    """Unpolarised reflectance of a dielectric whose reflectance at normal incidence is ``f0``; 1 for 1."""
    if f0 >= 1:
        return np.ones_like(cosine)
    index = (1 + np.sqrt(f0)) / (1 - np.sqrt(f0))
    c = np.clip(cosine, 0, 1)
    g = np.sqrt(index**2 - 1 + c * c)
    across = ((g - c) / (g + c)) ** 2
    return np.asarray(0.5 * across * (1 + ((c * (g + c) - 1) / (c * (g - c) + 1)) ** 2))


def _shadowing(cosine: Array, alpha: float) -> Array:
    """Smith's Lambda for the slopes above."""
    tangent = (1 - cosine**2) / np.maximum(cosine**2, _FLATTEST)
    return np.asarray((np.sqrt(1 + alpha**2 * tangent) - 1) / 2)


def weight(view: Array, light: Array, coat: Coat) -> Array:
    """F G2 (v.h) / ((n.v) (n.h)) of unit vectors (..., 3) in a frame whose third axis is the normal."""
    half = view + light
    half = half / np.maximum(np.linalg.norm(half, axis=-1, keepdims=True), 1e-12)
    across = np.einsum("...k,...k->...", view, half)
    nv, nl = np.maximum(view[..., 2], 1e-4), np.maximum(light[..., 2], 1e-4)
    both = 1 / (1 + _shadowing(nv, coat.alpha) + _shadowing(nl, coat.alpha))
    up = np.maximum(half[..., 2], 1e-4)
    return np.asarray(fresnel(across, coat.f0) * both * across / (nv * up) * (1 - coat.matt))


def facet_share(start: Array, end: Array, view: Array, alpha: float) -> Array:
    """Share (n,) of facets that mirror a polygon towards ``view`` (n, 3).

    start, end : (3, k, n) from the point to the ends of the polygon's edges, as in
    ``meshes.light.polygon.seen_edges``, all of it above the surface; third axis the normal.
    """
    slopes = []
    for way in (start, end):
        length = np.sqrt(way[0] ** 2 + way[1] ** 2 + way[2] ** 2)
        half = way / np.maximum(length, 1e-12) + view.T[:, None]
        scale = alpha * np.maximum(half[2], 1e-9)
        slopes.append(np.stack([half[0] / scale, half[1] / scale, np.ones_like(scale)]))
    return np.asarray(np.abs(lambert_sum(*slopes)[2]))


_AT_ONCE = 1 << 12


def mirrored_polygon(
    cells: Array, points: Array, view: Array, coat: Coat, planes: tuple[Array, ...] = ()
) -> Array:
    """Radiance (n,) that points (n, 3) send to the eye of a lamp of luminance 1, in ``cells`` (c, 4, 3).

    view : (n, 3) unit vectors to the eye; planes : (n, 3) inward normals of planes through each point that
    hide what lies beyond, as a neighbouring slat does. Frame: the surface's normal is the third axis.
    """
    found = np.zeros(len(points))
    upright = np.broadcast_to(np.array([0.0, 0.0, 1.0]), points.shape)
    # the direct mirror's ray, to weigh a lobe that is narrower than a cell where it lies
    mirror = view * [-1.0, -1.0, 1.0]
    for cell in cells:
        light = _nearest(cell, points, mirror, coat.alpha)
        share = np.empty(len(points))
        for first in range(0, len(points), _AT_ONCE):
            part = slice(first, first + _AT_ONCE)
            edges = seen_edges(cell, points[part], [plane[part] for plane in (upright, *planes)])
            share[part] = facet_share(*edges, view[part], coat.alpha)
        found += share * weight(view, light, coat) * (light[:, 2] > 0)
    return found


def _nearest(cell: Array, points: Array, mirror: Array, alpha: float) -> Array:
    """Unit vectors (n, 3) to where on a cell the lobe about the mirror's ray is strongest; to the cell's
    middle where the lobe is wider than the cell."""
    middle = cell.mean(axis=0)
    sides = np.stack([cell[1] - cell[0], cell[3] - cell[0]])
    length = np.linalg.norm(sides, axis=1)
    units = sides / length[:, None]
    normal = np.cross(*units)
    away = (middle - points) @ normal
    slope = mirror @ normal
    hits = away * slope > 1e-9
    reach = np.where(hits, away / np.where(hits, slope, 1.0), 0.0)
    struck = points + reach[:, None] * mirror
    place = np.where(hits[:, None], (struck - middle) @ units.T, 0.0)
    place = np.clip(place, -length / 2, length / 2)
    wide = np.clip(2 * alpha * np.linalg.norm(middle - points, axis=1) / length.max(), 0, 1)
    target = middle + ((1 - wide)[:, None] * place) @ units
    way = target - points
    return np.asarray(way / np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-12))


def facets(alpha: float, count: int) -> Array:
    """Unit half vectors (count, 3) of facets that stand for equal shares of the surface: a spiral."""
    share = (np.arange(count) + 0.5) / count
    radius = alpha * np.sqrt(share / (1 - share))
    turn = np.arange(count) * np.pi * (3 - np.sqrt(5))
    half = np.stack([radius * np.cos(turn), radius * np.sin(turn), np.ones(count)], axis=1)
    return np.asarray(half / np.linalg.norm(half, axis=1, keepdims=True))


def mirrored(view: Array, half: Array) -> Array:
    """Directions of light (..., 3) that facets ``half`` send to ``view``."""
    return np.asarray(2 * np.einsum("...k,...k->...", view, half)[..., None] * half - view)


def albedo(cosine: Array, coat: Coat, count: int = 512) -> Array:
    """(n,) share of even light from all sides that is mirrored towards views at ``cosine`` to the normal."""
    view = np.stack([np.sqrt(1 - cosine**2), np.zeros_like(cosine), cosine], axis=-1)[:, None]
    half = facets(coat.alpha, count)[None]
    light = mirrored(view, half)
    lit = (light[..., 2] > 0) & (np.einsum("...k,...k->...", view, half) > 0)
    return np.asarray((weight(np.broadcast_to(view, light.shape), light, coat) * lit).mean(axis=1))
