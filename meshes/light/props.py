"""Light on the grey things that stand in a picture: furniture, a figure, a white card.

They take light and give none: what they would shade or reflect is left out, so that adding them changes no
other pixel. In and about each thing stands a small grid of places where the light that arrives from six
directions is known; a face turned otherwise takes of them by the squares of its normal's components.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import GBuffer
from meshes.light.charts import Gatherer, compressed
from meshes.light.direct import open_factor
from meshes.light.polygon import Array
from meshes.light.site import Site
from meshes.surfaces import PROP_ID, PROPS

_APART_M, _MOST = 0.25, 10
"""Places of the grid stand so far apart along each side of a thing, at least two and at most ten of them."""

_SIX = np.array([[-1, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]], dtype=np.float64)

PropBox = tuple[Sequence[float], Sequence[float]]
"""Lowest and highest corner of a thing in the world [m]."""


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


def prop_light(where: Site, gather: Gatherer, boxes: Sequence[PropBox], trained: Array) -> PropLight | None:
    """The light about things in the room, or None where there is none."""
    if not boxes:
        return None
    corners = where.to_light(np.array(boxes, dtype=np.float64))
    corners[:, :, 2] = np.maximum(corners[:, :, 2], where.front_z + 1e-4)
    corners = np.clip(corners, where.box[:, 0] + 1e-4, where.box[:, 1] - 1e-4)
    counts = np.clip(np.ceil((corners[:, 1] - corners[:, 0]) / _APART_M).astype(np.intp) + 1, 2, _MOST)
    places = np.concatenate(
        [_grid(low, high, count) for (low, high), count in zip(corners, counts, strict=True)]
    )
    columns = []
    for normal in _SIX:
        lit = [
            np.pi * lamp.luminance * open_factor(lamp, places, normal, where.blockers(number))
            for number, lamp in enumerate(where.lamps)
        ]
        columns.append(gather.light.mixed(gather.at(places, normal), np.stack(lit, axis=-1)))
    tables, mix = compressed([np.stack(columns, axis=1)], trained)
    starts = np.concatenate([[0], np.cumsum(counts.prod(axis=1))[:-1]])
    return PropLight(boxes=corners, counts=counts, starts=starts, table=tables[0], mix=mix)


def _grid(low: Array, high: Array, count: NDArray[np.intp]) -> Array:
    """Places (product of counts, 3), the last axis fastest."""
    lines = [np.linspace(low[axis], high[axis], count[axis]) for axis in range(3)]
    return np.stack(np.meshgrid(*lines, indexing="ij"), axis=-1).reshape(-1, 3)


def prop_values(light: PropLight, where: Site, view: GBuffer, rows: NDArray[np.intp]) -> NDArray[np.float32]:
    """Light (n, r) times reflectance of those ``rows`` of a view's samples that see a thing.

    Which thing a sample belongs to is the one whose box it lies in, or nearest to.
    """
    reflectance = np.zeros(256, np.float32)
    for word, number in PROP_ID.items():
        reflectance[number] = PROPS[word]
    points, normals = where.to_light(view.position[rows]), where.to_light(view.normals(rows))
    away = [np.abs(points - np.clip(points, low, high)).max(axis=1) for low, high in light.boxes]
    thing = np.argmin(away, axis=0)
    low, high, count = light.boxes[thing, 0], light.boxes[thing, 1], light.counts[thing]
    place = np.clip((points - low) / np.maximum(high - low, 1e-6), 0, 1) * (count - 1)
    lower = np.minimum(place.astype(np.intp), count - 2)
    part = (place - lower).astype(np.float32)
    cube = np.zeros((len(rows), *light.table.shape[-2:]), np.float32)
    for corner in np.ndindex(2, 2, 2):
        weight = np.prod(np.where(corner, part, 1 - part), axis=1)
        i, j, k = (lower + corner).T
        cube += (
            weight[:, None, None] * light.table[light.starts[thing] + (i * count[:, 1] + j) * count[:, 2] + k]
        )
    squares = np.empty((len(rows), 6), np.float32)
    squares[:, 0::2] = np.where(normals < 0, normals, 0) ** 2
    squares[:, 1::2] = np.where(normals > 0, normals, 0) ** 2
    values = np.einsum("ns,nsr->nr", squares, cube) * reflectance[view.surface[rows], None]
    return np.asarray(values, np.float32)
