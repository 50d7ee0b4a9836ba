"""Gloss: the layer of a picture in which the clear coat mirrors lamps and room, by where the eye is.

A coat's first surface is a dielectric: what it mirrors is not tinted by the wood (``coating``). Seen from
one place this changes smoothly over the wall, so it is worked out on tables and read between their lines:

- on the plane of the slats' fronts, the lamps and the room behind the viewer;
- on the sides of the gaps, the lamps, as far as the opposite slat lets them in (a plane through each point
  and that slat's arris). What else a side mirrors lies in its gap, is dark, and is left out.

The rest of what the eye gets comes out of the wood, through the same surface: ``body_shares`` says how much
less of it comes out the more is mirrored, so that both together never make light.
"""

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import GBuffer
from meshes.light.blocks import Sheen
from meshes.light.charts import Chart
from meshes.light.polygon import Array
from meshes.light.site import Site
from meshes.light.tables import between_rows, by_normal, chart_values, place
from meshes.light.transport import Transport
from meshes.stills.coating import Coat, albedo, facets, mirrored, mirrored_polygon, weight
from meshes.stills.mirrors import cells, lamps, packed
from meshes.surfaces import SURFACE_ID

Floats = NDArray[np.float32]

COATED = ("slat_front", "trim")
"""What lies in the plane of the fronts and is coated; cut ends stay matt."""
_ON_PLANE_M = 2.5e-3
_LINES_M = (0.006, 0.08)
"""Lines of the tables are at least and at most so far apart."""
_MOST_POINTS = 40_000
_DIRECTIONS = 24
"""Facets through which the room is mirrored at each point."""
_SIDE_NODES, _SIDE_LINES_M = 5, 0.12


def coat_of(f0: float, roughness: float, matt_share: float) -> Coat | None:
    """The coat of a finish, or None for one that mirrors nothing. ``alpha`` is the square of roughness."""
    if f0 <= 0 or matt_share >= 1:
        return None
    return Coat(f0=f0, alpha=max(roughness**2, 1e-3), matt=matt_share)


def body_shares(view: GBuffer, coat: Coat) -> Floats:
    """(samples,) how much of the wood's own light comes out, over that seen straight from the front."""
    found = np.ones(len(view), np.float32)
    rows = _showing(view, *COATED, "slat_side")
    way = view.eye - view.position[rows]
    cosine = np.einsum("nk,nk->n", way, view.normals(rows)) / np.sqrt(np.einsum("nk,nk->n", way, way))
    found[rows] = np.interp(cosine, *body_lines(coat))
    return found


def _showing(view: GBuffer, *words: str) -> NDArray[np.intp]:
    """Samples that show one of the surfaces."""
    wanted = np.zeros(256, np.bool_)
    wanted[[SURFACE_ID[word] for word in words]] = True
    return np.flatnonzero(wanted[view.surface])


def body_lines(coat: Coat) -> tuple[Array, Array]:
    """Cosines (50,) to the normal, and what of the wood's own light comes out there; see ``body_shares``."""
    lines = np.linspace(0.02, 1, 50)
    share = 1 - albedo(lines, coat)
    return lines, share / share[-1]


def gloss(view: GBuffer, transport: Transport, coat: Coat) -> list[Sheen]:
    """What the coat mirrors at the samples of a view that show it, wall by wall."""
    found = []
    plane, along = _showing(view, *COATED), _showing(view, "slat_side")
    for wall in transport.walls:
        where = wall.site
        eye = where.to_light(view.eye.astype(np.float64))
        if eye[2] <= where.front_z:
            continue
        rows, points, normals = _of_wall(view, where, plane)
        front = (normals[:, 2] > 0.7) & (np.abs(points[:, 2] - where.front_z) < _ON_PLANE_M)
        if front.any():
            found.append(_fronts(rows[front], points[front], wall, transport, eye, coat))
        if len(where.gap_left):
            rows, points, normals = _of_wall(view, where, along)
        if len(where.gap_left) and len(rows):
            found += _sides(rows, points, normals, wall, eye, coat)
    return found


def _of_wall(view: GBuffer, where: Site, rows: NDArray[np.intp]) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Those of the samples that lie on a wall; their points and normals in its light frame."""
    points = where.to_light(view.position[rows])
    own = (points[:, 2] > 0) & (points[:, 2] < where.front_z + _ON_PLANE_M)
    for at, (low, high) in zip(points[:, :2].T, where.box[:2], strict=True):
        own &= (at > low - _ON_PLANE_M) & (at < high + _ON_PLANE_M)
    return rows[own], points[own], where.frame.directions(view.normals(rows[own]))


# ---- the plane of the fronts


def _fronts(
    rows: NDArray[np.intp], points: Floats, wall: Transport, first: Transport, eye: Array, coat: Coat
) -> Sheen:
    where = wall.site
    lines = [_lines(where, points[:, axis], eye, coat, axis) for axis in (0, 1)]
    too_many = max(1.0, np.sqrt(len(lines[0]) * len(lines[1]) / _MOST_POINTS))
    u, v = (np.linspace(line[0], line[-1], max(2, int(len(line) / too_many))) for line in lines)
    a, b = (grid.ravel() for grid in np.meshgrid(u, v, indexing="ij"))
    place_of = np.stack([a, b, np.full(a.size, where.front_z)], axis=1)
    way = eye - place_of
    toward = way / np.linalg.norm(way, axis=1, keepdims=True)
    room, of_room = _room(place_of, toward, where, first, coat)
    of_lamps = lamps(where, place_of, toward, coat)
    table, mix = packed(np.concatenate([room, of_lamps], axis=1), of_room, first)
    return Sheen(rows=rows, values=_between(u, v, table, points[:, 0], points[:, 1]), mix=mix)


def _lines(where: Site, seen: Floats, eye: Array, coat: Coat, axis: int) -> Array:
    """As fine as the mirror image of the nearest lamp can be sharp."""
    out = [max(float(lamp.corners[:, 2].max()) - where.front_z, 0.02) for lamp in where.lamps]
    near = min([*out, float(eye[2]) - where.front_z])
    apart = np.clip(0.7 * coat.alpha * near, *_LINES_M)
    low, high = float(seen.min()), float(seen.max())
    return np.linspace(low, high, max(2, int(np.ceil((high - low) / apart)) + 1))


def _room(points: Array, toward: Array, where: Site, first: Transport, coat: Coat) -> tuple[Array, Array]:
    """Light of the room as mirrored at points (n, 3) of a wall: values (n, r) and their mix (r, columns).

    ``first`` : the wall that the room's light stands with.
    """
    up = 0 if where.level else 1
    floor, ceiling, walls = where.reflectance
    found = np.zeros((len(points), first.room.mix.shape[0]))
    for half in facets(coat.alpha, _DIRECTIONS):
        light = mirrored(toward, np.broadcast_to(half, toward.shape))
        share = weight(toward, light, coat) * (light[:, 2] > 1e-4) * (toward @ half > 0) / _DIRECTIONS
        far = np.where(light > 0, where.box[:, 1] - points, where.box[:, 0] - points)
        reach = far / np.where(np.abs(light) > 1e-9, light, np.where(light > 0, 1e-9, -1e-9))
        axis = np.argmin(reach, axis=1)
        every = np.arange(len(points))
        struck = points + light * reach[every, axis][:, None]
        side = light[every, axis] > 0
        normal = np.zeros_like(points, dtype=np.float32)
        normal[every, axis] = np.where(side, -1.0, 1.0)
        reflectance = np.where(axis == up, np.where(side, ceiling, floor), walls)
        turned = np.empty_like(normal)
        turned[:, where.frame.order] = normal * where.frame.sense
        there = first.site.to_light(where.frame.world(struck)).astype(np.float32)
        lit = by_normal(first.room, there, first.site.frame.directions(turned))
        found += lit * (share * reflectance)[:, None]
    return found, first.room.mix


def _between(u: Array, v: Array, table: Floats, a: Floats, b: Floats) -> Floats:
    """Values (n, r) of a table (len(u) * len(v), r), bilinearly at a, b (n,)."""
    chart = Chart(axis=2, at=0.0, normal=(0.0, 0.0, 1.0), u=u, v=v, table=table.reshape(len(u), len(v), -1))
    return chart_values(chart, np.stack([a, b, np.zeros_like(a)], axis=1))


# ---- the sides of the gaps


def _sides(
    rows: NDArray[np.intp], points: Floats, normals: Floats, transport: Transport, eye: Array, coat: Coat
) -> list[Sheen]:
    where = transport.site
    lefts = where.gap_left
    depth = np.linspace(1e-4, where.depth - 1e-4, _SIDE_NODES)
    low, high = float(points[:, 1].min()), float(points[:, 1].max())
    along = np.linspace(low, high, max(2, int((high - low) / _SIDE_LINES_M) + 1))
    found = []
    for sense, edge in ((1.0, 0.0), (-1.0, where.gap)):
        own = np.flatnonzero(normals[:, 0] * sense > 0.7)
        number = np.clip(np.searchsorted(lefts + edge, points[own, 0] + 1e-4, side="right") - 1, 0, None)
        on_side = np.abs(points[own, 0] - (lefts + edge)[number]) < 1e-3
        own, number = own[on_side], number[on_side]
        if not len(own):
            continue
        gaps, column = np.unique(number, return_inverse=True)
        a, z, b = (
            grid.ravel()
            for grid in np.meshgrid((lefts + edge)[gaps], where.front_z - depth, along, indexing="ij")
        )
        values = _side_lamps(np.stack([a, b, z], axis=1), sense, where, eye, coat)
        if not values.any():
            continue
        table, mix = packed(values, np.zeros((0, transport.columns)), transport)
        k, s = place(depth, (where.front_z - points[own, 2]).astype(np.float32))
        j, t = place(along, points[own, 1])
        s, t = s[:, None], t[:, None]
        at = (column * _SIDE_NODES + k) * len(along) + j
        near = between_rows(table, at, t)
        near += s * (between_rows(table, at + len(along), t) - near)
        found.append(Sheen(rows=rows[own], values=near, mix=mix))
    return found


def _side_lamps(points: Array, sense: float, where: Site, eye: Array, coat: Coat) -> Array:
    """(n, lamps) as ``mirrors.lamps``, on sides that face ``sense`` times a, past the opposite slat."""
    turn = np.array([[0.0, 0.0, sense], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]])  # columns: out, along, the normal
    way = eye - points
    toward = (way / np.linalg.norm(way, axis=1, keepdims=True)) @ turn
    # light comes in over the opposite slat's arris: across / out is at most gap / depth there
    deep = np.maximum(where.front_z - points[:, 2], 1e-4)
    over = np.stack([np.full(len(points), where.gap), np.zeros(len(points)), -deep], axis=1)
    found = np.zeros((len(points), len(where.lamps)))
    seen = np.flatnonzero(toward[:, 2] > 0)
    for number, lamp in enumerate(where.lamps):
        rows = seen[(points[seen] - lamp.corners[0]) @ lamp.normal > 1e-6]
        face = cells(lamp, where.front_z)
        # the cells seen from each point's own frame: shift, then turn
        sent = mirrored_polygon(face @ turn, points[rows] @ turn, toward[rows], coat, (over[rows],))
        found[rows, number] = np.pi * lamp.luminance * sent
    return found
