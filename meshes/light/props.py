"""Light on the grey things that stand in a picture: furniture, a figure, a white card.

They shade the room and are part of its exchange, as boxes. In and about each thing stands a small grid of
places where the room's light from six directions is known; a face turned otherwise takes of them by the
squares of its normal's components. Lamps' light is computed where a picture shows a thing.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from meshes.light.direct import open_factor
from meshes.light.directions import compressed
from meshes.light.faces import touching
from meshes.light.gather import Gatherer
from meshes.light.plan import PropBox
from meshes.light.polygon import Array
from meshes.light.site import Site
from meshes.surfaces import PROP_ID, PROPS

_HAIR_M = 2e-3
_APART_M, _MOST = 0.25, 10
"""Places of the grid stand so far apart along each side of a thing, at least two and at most ten of them."""

_SIX = np.array([[-1, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]], dtype=np.float64)


@dataclass(frozen=True, slots=True, kw_only=True)
class PropLight:
    """Irradiance about each thing.

    boxes : (n, 2, 3) in the light frame [m]; counts : (n, 3) places along each side; starts : (n,) first row
    of each thing in ``table`` (places, 6, r), whose r directions ``mix`` (r, columns) mixes as in
    ``charts.Group``.
    """

    boxes: Array
    counts: NDArray[np.intp]
    starts: NDArray[np.intp]
    table: NDArray[np.float32]
    mix: Array
    from_lamps: Array
    """(lamps, columns): the direct columns, one a lamp."""


def prop_light(gather: Gatherer, boxes: Sequence[PropBox], trained: Array) -> PropLight | None:
    """The light about things in the room, or None where there is none. gather : of the first wall.

    A thing does not stand in its own light here: which way a face looks says that.
    """
    if not boxes:
        return None
    where = gather.where
    ends = where.to_light(np.array(boxes, dtype=np.float64))
    given = np.stack([ends.min(axis=1), ends.max(axis=1)], axis=1)
    tables, corners, counts = [], [], []
    for group in touching(given):
        low, high = given[group, 0].min(axis=0), given[group, 1].max(axis=0)
        if high[2] > where.front_z:  # else round the corner
            low[2] = max(low[2], where.front_z + 1e-4)
        count = np.clip(np.ceil((high - low) / _APART_M).astype(np.intp) + 1, 2, _MOST)
        places = _grid(low, high, count)
        sight = gather.room.sight(places, spare=_are_of(gather.room.solids, given[group]))
        none = np.zeros((len(places), len(where.lamps)))
        columns = []
        for normal in _SIX:
            indirect = gather.weighted(places, *gather.room.seen_from(places, normal, sight))[0]
            columns.append(gather.light.mixed(indirect, none))
        tables.append(np.stack(columns, axis=1))
        corners.append([low, high])
        counts.append(count)
    packed, mix = compressed([np.concatenate(tables)], trained)
    placed = np.array(counts)
    starts = np.concatenate([[0], np.cumsum(placed.prod(axis=1))[:-1]])
    from_lamps = np.zeros((len(where.lamps), trained.shape[1]))
    from_lamps[np.arange(len(where.lamps)), gather.light.basis.direct_columns] = 1.0
    return PropLight(
        boxes=np.array(corners),
        counts=placed,
        starts=starts,
        table=packed[0],
        mix=mix,
        from_lamps=from_lamps,
    )


def _are_of(solids: Array, own: Array) -> NDArray[np.bool_]:
    """(solids,) which of them are among ``own`` (k, 2, 3)."""
    apart = np.abs(solids[:, None] - own[None]).max(axis=(2, 3))
    return np.asarray(apart.min(axis=1, initial=1.0) < 1e-9)


def _grid(low: Array, high: Array, count: NDArray[np.intp]) -> Array:
    """Places (product of counts, 3), the last axis fastest."""
    lines = [np.linspace(low[axis], high[axis], count[axis]) for axis in range(3)]
    return np.stack(np.meshgrid(*lines, indexing="ij"), axis=-1).reshape(-1, 3)


def prop_values(
    light: PropLight, where: Site, surfaces: NDArray[np.uint8], positions: Array, facing: Array
) -> list[tuple[NDArray[np.float32], Array]]:
    """Light (n, r) times reflectance of points on things, and the mix (r, columns) of it: first what comes
    from the room, then what comes from the lamps.

    surfaces : (n,) id of each point's grey; positions : (n, 3) in the world [m]; facing : (n, 3) normals
    there. Which thing a point belongs to is the one whose box it lies in, or nearest to.
    """
    shade = np.zeros(256, np.float32)
    for word, number in PROP_ID.items():
        shade[number] = PROPS[word]
    reflectance = shade[surfaces, None]
    points = where.to_light(positions)
    normals = where.frame.directions(facing)
    away = [np.abs(points - np.clip(points, low, high)).max(axis=1) for low, high in light.boxes]
    thing = np.argmin(away, axis=0)
    low, high, count = light.boxes[thing, 0], light.boxes[thing, 1], light.counts[thing]
    place = np.clip((points - low) / np.maximum(high - low, 1e-6), 0, 1) * (count - 1)
    lower = np.minimum(place.astype(np.intp), count - 2)
    part = (place - lower).astype(np.float32)
    cube = np.zeros((len(points), *light.table.shape[-2:]), np.float32)
    for corner in np.ndindex(2, 2, 2):
        weight = np.prod(np.where(corner, part, 1 - part), axis=1)
        i, j, k = (lower + corner).T
        cube += (
            weight[:, None, None] * light.table[light.starts[thing] + (i * count[:, 1] + j) * count[:, 2] + k]
        )
    squares = np.empty((len(points), 6), np.float32)
    squares[:, 0::2] = np.where(normals < 0, normals, 0) ** 2
    squares[:, 1::2] = np.where(normals > 0, normals, 0) ** 2
    values = np.einsum("ns,nsr->nr", squares, cube) * reflectance
    direct = np.zeros((len(points), len(where.lamps)), np.float32)
    for number, (low, high) in enumerate(light.boxes):
        own = np.flatnonzero(thing == number)
        direct[own] = _direct(where, low, high, points[own], normals[own]) * reflectance[own]
    return [(values.astype(np.float32), light.mix), (direct, light.from_lamps)]


def _direct(where: Site, low: Array, high: Array, points: Array, normals: Array) -> Array:
    """Irradiance (n, lamps) [lx] on one thing's surface past everything but itself."""
    inside = (where.things[:, 0] >= low - _HAIR_M) & (where.things[:, 1] <= high + _HAIR_M)
    others = replace(where, things=where.things[~inside.all(axis=1)])
    lit = [
        np.pi * lamp.luminance * open_factor(lamp, points, normals, others.blockers(number))
        for number, lamp in enumerate(where.lamps)
    ]
    return np.stack(lit, axis=-1)
