"""Light on the grey things that stand in a picture: furniture, a figure, a white card.

They shade the room and are part of its exchange, as boxes. On the six sides of each box lies a small grid of
places where the room's light is known; a face turned otherwise takes of three sides by the squares of its
normal's components. Lamps' light is computed where a picture shows a thing.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from meshes.light.direct import open_factor
from meshes.light.directions import compressed
from meshes.light.gather import Gatherer
from meshes.light.polygon import Array
from meshes.light.site import Site
from meshes.solids.props import PropBox
from meshes.surfaces import PROP_ID, PROPS

_HAIR_M = 2e-3
_OFF_M = 1e-4
_SHUT_IN = 0.3
"""A place that sees less of its hemisphere is covered."""
_APART_M, _MOST = 0.25, 10
"""Places of the grid stand so far apart along each side of a box, at least two and at most ten of them."""

SIDES = np.array([[-1, 0, 0], [1, 0, 0], [0, -1, 0], [0, 1, 0], [0, 0, -1], [0, 0, 1]], dtype=np.float64)
"""Normals of the sides of a box."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PropLight:
    """Irradiance about each thing.

    boxes : (n, 2, 3) in the light frame [m]; bodies : (n,) the number of each one's body, -1 for none;
    counts : (n, 3) places along each axis; starts : (n, 6) first row of each side, in the order of ``SIDES``,
    in ``table`` (places, r), whose r directions ``mix`` (r, columns) mixes as in ``charts.Group``.
    """

    boxes: Array
    bodies: NDArray[np.intp]
    counts: NDArray[np.intp]
    starts: NDArray[np.intp]
    table: NDArray[np.float32]
    mix: Array
    from_lamps: Array
    """(lamps, columns): the direct columns, one a lamp."""


def prop_light(gather: Gatherer, boxes: Sequence[PropBox], trained: Array) -> PropLight | None:
    """The light about things in the room, or None where there is none. gather : of the first wall.

    A place that another thing covers takes the light of the nearest one of its side that is open.
    """
    if not boxes:
        return None
    where = gather.where
    ends = where.to_light(np.array([(box.low, box.high) for box in boxes]))
    given = np.stack([ends.min(axis=1), ends.max(axis=1)], axis=1)
    before = given[:, 1, 2] > where.front_z  # else round the corner
    given[before, 0, 2] = np.maximum(given[before, 0, 2], where.front_z + _OFF_M)
    counts = np.clip(np.ceil(np.ptp(given, axis=1) / _APART_M).astype(np.intp) + 1, 2, _MOST)
    bodies = np.array([box.body for box in boxes])
    starts = np.empty((len(given), 6), np.intp)
    tables, row = [], 0
    for group in _together(bodies):
        for side in range(6):
            grids = [_grid(given[box], side, counts[box]) for box in group]
            starts[group, side] = row + np.cumsum([0, *map(len, grids[:-1])])
            tables.append(_from_room(gather, np.concatenate(grids), SIDES[side], given[group]))
            row += len(tables[-1])
    packed, mix = compressed([np.concatenate(tables)], trained)
    from_lamps = np.zeros((len(where.lamps), trained.shape[1]))
    from_lamps[np.arange(len(where.lamps)), gather.light.basis.direct_columns] = 1.0
    return PropLight(
        boxes=given,
        bodies=bodies,
        counts=counts,
        starts=starts,
        table=packed[0],
        mix=mix,
        from_lamps=from_lamps,
    )


def _grid(box: Array, side: int, counts: NDArray[np.intp]) -> Array:
    """Places (n, 3) on a side of a box (2, 3), a hair off it, the last axis fastest."""
    axis, high = divmod(side, 2)
    lines = [np.linspace(box[0, other], box[1, other], counts[other]) for other in range(3)]
    lines[axis] = box[high : high + 1, axis] + (_OFF_M if high else -_OFF_M)
    return np.stack(np.meshgrid(*lines, indexing="ij"), axis=-1).reshape(-1, 3)


def _together(bodies: NDArray[np.intp]) -> list[list[int]]:
    """Numbers of the boxes of each body, and of each box that stands for itself."""
    alone = [[int(number)] for number in np.flatnonzero(bodies < 0)]
    return alone + [np.flatnonzero(bodies == body).tolist() for body in np.unique(bodies[bodies >= 0])]


def _from_room(gather: Gatherer, places: Array, normal: Array, own: Array) -> Array:
    """What comes from the room to places (n, 3) of a thing that face one way (n, columns). own : its boxes
    (k, 2, 3), which hide nothing.
    """
    solids = gather.room.solids
    spare = np.abs(solids[:, None] - own).max(axis=(2, 3)).min(axis=1, initial=1.0) < _HAIR_M
    gathered, seen = gather.at(places, normal, gather.room.sight(places, spare))
    is_open = seen > _SHUT_IN
    gathered = gathered / np.where(is_open, seen, 1.0)[:, None]
    if is_open.any() and not is_open.all():
        shut = np.flatnonzero(~is_open)
        away = np.linalg.norm(places[shut, None] - places[None, is_open], axis=2)
        gathered[shut] = gathered[np.flatnonzero(is_open)[away.argmin(axis=1)]]
    return gather.light.mixed(gathered, np.zeros((len(places), len(gather.where.lamps))))


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
    box = np.argmin(away, axis=0)
    turned = np.flatnonzero(surfaces == PROP_ID["figure"])
    normals[turned] = _round_it(points[turned], normals[turned], light.boxes[box[turned]], where)
    values = np.zeros((len(points), light.table.shape[1]), np.float32)
    for side, normal in enumerate(SIDES):
        share = np.maximum(normals @ normal, 0) ** 2
        lit = np.flatnonzero(share > 1e-6)
        values[lit] += share[lit, None] * _on_side(light, side, box[lit], points[lit])
    values *= reflectance
    direct = np.zeros((len(points), len(where.lamps)), np.float32)
    for number, body in enumerate(light.bodies):
        rows = np.flatnonzero(box == number)
        if len(rows):
            own = light.boxes[light.bodies == body] if body >= 0 else light.boxes[number : number + 1]
            direct[rows] = _direct(where, own, points[rows], normals[rows]) * reflectance[rows]
    return [(values, light.mix), (direct, light.from_lamps)]


def _round_it(points: Array, normals: Array, boxes: Array, where: Site) -> Array:
    """Normals (n, 3) of what is turned on a lathe and flattened, for those of the flat faces it is drawn as.

    boxes : (n, 2, 3) of the slice that each point is of: as wide for its depth as the thing is.
    """
    level = [axis for axis in range(3) if axis != (0 if where.level else 1)]
    middle, half = boxes.mean(axis=1)[:, level], np.ptp(boxes, axis=1)[:, level] / 2
    out = (points[:, level] - middle) / half**2
    found = normals.copy()
    rest = np.hypot(normals[:, level[0]], normals[:, level[1]])
    found[:, level] = rest[:, None] * out / np.maximum(np.hypot(out[:, 0], out[:, 1]), 1e-9)[:, None]
    return found


def _on_side(light: PropLight, side: int, box: NDArray[np.intp], points: Array) -> NDArray[np.float32]:
    """Table values (n, r) between the places on a side of each point's box."""
    axis = side // 2
    low, high, count = light.boxes[box, 0], light.boxes[box, 1], light.counts[box]
    place = np.clip((points - low) / np.maximum(high - low, 1e-6), 0, 1) * (count - 1)
    lower = np.minimum(place.astype(np.intp), count - 2)
    part = (place - lower).astype(np.float32)
    first, second = (other for other in range(3) if other != axis)
    found = np.zeros((len(points), light.table.shape[1]), np.float32)
    for i, j in np.ndindex(2, 2):
        weight = np.abs(1 - i - part[:, first]) * np.abs(1 - j - part[:, second])
        row = (lower[:, first] + i) * count[:, second] + lower[:, second] + j
        found += weight[:, None] * light.table[light.starts[box, side] + row]
    return found


def _direct(where: Site, own: Array, points: Array, normals: Array) -> Array:
    """Irradiance (n, lamps) [lx] on a thing's surface past everything but its ``own`` boxes (k, 2, 3)."""
    apart = np.abs(where.things[:, None] - own).max(axis=(2, 3))
    others = replace(where, things=where.things[apart.min(axis=1, initial=1.0) > _HAIR_M])
    lit = [
        np.pi * lamp.luminance * open_factor(lamp, points, normals, others.blockers(number))
        for number, lamp in enumerate(where.lamps)
    ]
    return np.stack(lit, axis=-1)
