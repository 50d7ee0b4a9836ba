"""Layers: the light of a lighting as the pixels of one view see it, still free of any finish.

A block holds one kind of surface: the pixels that show it and, filtered over each pixel, the few directions
in which its light can move. A picture is blocks times coefficients, added up over the pixels.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import NOTHING, GBuffer
from meshes.light.charts import Chart, GrooveGroup, Group
from meshes.light.lamp_cover import lamp_cover
from meshes.light.polygon import Array
from meshes.light.props import prop_values
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID, SURFACES

Floats = NDArray[np.float32]
_CHUNK = 1 << 18
ROOM_WORDS = ("room_floor", "room_ceiling", "room_walls")
FIGURED = ("slat_front", "slat_side", "slat_end")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One kind of surface in one view.

    surface : a surface word, ``room`` (reflectance baked in) or ``lamp``; zone : "area", or "early" and
    "late" where figure divides the surface; pixels : (m,) rising; values : (m, r) float32, filtered
    irradiance directions [lx] (``lamp``: luminance [cd/m2] of each lamp's face); mix : (r, columns) as in
    ``Group``.
    """

    surface: str
    zone: str
    pixels: NDArray[np.int32]
    values: Floats
    mix: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Layers:
    """All blocks of one view under one lighting."""

    width: int
    height: int
    blocks: tuple[Block, ...]

    @property
    def count(self) -> int:
        """Number of single layers: the rows of ``relight.coefficients``."""
        return sum(block.values.shape[1] for block in self.blocks)


def layers(gbuffer: GBuffer, transport: Transport, mask: Floats | None = None) -> Layers:
    """Light every sample of a view and filter it to pixels, surface by surface.

    mask : (samples,) late-wood share in [0, 1] at each sample, or None for plain surfaces without figure.
    Raises ValueError where the mask's shape is not the samples', or where the view shows grey things without
    the transport having been solved for them.
    """
    if mask is not None and mask.shape != gbuffer.surface.shape:
        raise ValueError(f"mask: expected shape {gbuffer.surface.shape}, got {mask.shape}")
    where = transport.site
    hidden, shining = lamp_cover(gbuffer, where)
    weight = gbuffer.weight * (1 - hidden)
    blocks: list[Block] = []
    for word in SURFACES:
        if word in ROOM_WORDS:
            continue
        rows = np.flatnonzero(gbuffer.surface == SURFACE_ID[word])
        if not len(rows):
            continue
        for values, chosen, mix in _lit(gbuffer, transport, word, rows):
            if mask is None or word not in FIGURED:
                blocks.append(_block(gbuffer, word, "area", chosen, values, weight[chosen], mix))
                continue
            late = mask[chosen]
            blocks.append(_block(gbuffer, word, "early", chosen, values, weight[chosen] * (1 - late), mix))
            blocks.append(_block(gbuffer, word, "late", chosen, values, weight[chosen] * late, mix))
    of_room = (gbuffer.surface >= SURFACE_ID["room_floor"]) & (gbuffer.surface < len(SURFACES))
    rows = np.flatnonzero(of_room)
    if len(rows):
        blocks += _room_blocks(gbuffer, transport, rows, weight)
    if ((gbuffer.surface >= len(SURFACES)) & (gbuffer.surface != NOTHING)).any():
        if transport.props is None:
            raise ValueError("props: the view shows grey things that the lighting was not solved for")
        rows, values = prop_values(transport.props, where, gbuffer)
        blocks.append(_block(gbuffer, "room", "area", rows, values, weight[rows], transport.props.mix))
    for number, (lamp, (pixels, share)) in enumerate(zip(where.lamps, shining, strict=True)):
        if len(pixels):
            only = np.zeros((1, len(where.lamps)))
            only[0, number] = lamp.luminance
            blocks.append(Block(surface="lamp", zone="area", pixels=pixels, values=share[:, None], mix=only))
    return Layers(width=gbuffer.width, height=gbuffer.height, blocks=tuple(blocks))


def _block(
    gbuffer: GBuffer,
    word: str,
    zone: str,
    rows: NDArray[np.intp],
    values: Floats,
    weight: Floats,
    mix: Array,
) -> Block:
    pixel = gbuffer.pixel[rows]
    starts = np.flatnonzero(np.diff(pixel, prepend=-1))
    summed = np.add.reduceat(values * weight[:, None], starts, axis=0, dtype=np.float32)
    return Block(surface=word, zone=zone, pixels=pixel[starts], values=summed, mix=mix)


def _place(lines: Array, at: Floats) -> tuple[NDArray[np.intp], Floats]:
    """Lower line and share towards the next for positions along grid lines."""
    lower = np.clip(np.searchsorted(lines, at) - 1, 0, len(lines) - 2)
    share = (at - lines[lower]) / (lines[lower + 1] - lines[lower])
    return lower, np.clip(share, 0, 1).astype(np.float32)


def _chart_values(chart: Chart, points: Floats) -> Floats:
    """Bilinear values (n, r) of a chart at points (n, 3) of the light frame."""
    first, second = (axis for axis in range(3) if axis != chart.axis)
    table = chart.table.reshape(-1, chart.table.shape[-1])
    stride = chart.table.shape[1]
    found = np.empty((len(points), table.shape[1]), np.float32)
    for start in range(0, len(points), _CHUNK):
        part = slice(start, start + _CHUNK)
        i, s = _place(chart.u, points[part, first])
        j, t = _place(chart.v, points[part, second])
        at = i * stride + j
        s, t = s[:, None], t[:, None]
        near = table[at] * (1 - t) + table[at + 1] * t
        far = table[at + stride] * (1 - t) + table[at + stride + 1] * t
        found[part] = near * (1 - s) + far * s
    return found


def _groove_values(
    group: GrooveGroup, transport: Transport, middle: Floats, along: Floats, node: Floats, nodes: slice
) -> Floats:
    """Values (n, r) inside the gaps: ``middle`` of the gap, position ``along`` it, fractional ``node``."""
    table = group.table[:, :, nodes]
    sa, sb, count, r = table.shape
    flat = np.ascontiguousarray(table).reshape(-1, r)
    found = np.empty((len(middle), r), np.float32)
    for start in range(0, len(middle), _CHUNK):
        part = slice(start, start + _CHUNK)
        if sa > 1:
            i, s = _place(transport.across, middle[part])
        else:
            i, s = np.zeros(len(middle[part]), np.intp), np.zeros(len(middle[part]), np.float32)
        j, t = _place(transport.along, along[part])
        k = np.clip(node[part].astype(np.intp), 0, count - 2)
        f = (node[part] - k)[:, None]
        t = t[:, None]
        value = np.zeros((len(i), r), np.float32)
        for column, share in ((i, 1 - s), (np.minimum(i + 1, sa - 1), s)):
            if not share.any():
                continue
            at = (column * sb + j) * count + k
            near = flat[at] * (1 - f) + flat[at + 1] * f
            far = flat[at + count] * (1 - f) + flat[at + count + 1] * f
            value += share[:, None] * (near * (1 - t) + far * t)
        found[part] = value
    return found


def _by_normal(group: Group, points: Floats, normals: Floats) -> Floats:
    """Values of whichever chart of the group faces as each point does."""
    found = np.zeros((len(points), group.mix.shape[0]), np.float32)
    for chart in group.charts:
        rows = np.flatnonzero(normals @ np.asarray(chart.normal, np.float32) > 0.7)
        if len(rows):
            found[rows] = _chart_values(chart, points[rows])
    return found


def _lit(
    gbuffer: GBuffer, transport: Transport, word: str, rows: NDArray[np.intp]
) -> list[tuple[Floats, NDArray[np.intp], Array]]:
    """(values, rows, mix) of one surface word: from its gap, from the fronts' plane or from square edges."""
    where, section = transport.site, transport.groove
    points = where.to_light(gbuffer.position[rows])
    normals = where.to_light(gbuffer.normal[rows])
    outwards = normals[:, 2] > 0.7
    found: list[tuple[Floats, NDArray[np.intp], Array]] = []
    in_gap = np.zeros(len(rows), dtype=bool)
    if word in ("slat_side", "fabric") and len(where.gap_left):
        lefts = where.gap_left.astype(np.float32)
        inner = points[:, 0] + np.sign(normals[:, 0]) * np.float32(where.gap / 4) * (word == "slat_side")
        number = np.clip(np.searchsorted(lefts, inner, side="right") - 1, 0, len(lefts) - 1)
        offset = inner - lefts[number]
        in_gap = (offset > -1e-4) & (offset < where.gap + 1e-4)
        if word == "fabric":
            in_gap &= outwards
        middle = lefts[number] + np.float32(where.gap / 2)
        side = len(section.side_nodes)
        if word == "fabric":
            chosen = np.flatnonzero(in_gap)
            node = np.interp(offset[chosen], section.base_nodes, np.arange(len(section.base_nodes)))
            parts = [(chosen, node, transport.base, slice(None))]
        else:
            depth = where.front_z - points[:, 2]
            node = np.interp(depth, section.side_nodes, np.arange(side))
            leftwards = normals[:, 0] > 0
            parts = [
                (np.flatnonzero(in_gap & leftwards), node, transport.sides, slice(0, side)),
                (np.flatnonzero(in_gap & ~leftwards), node, transport.sides, slice(side, None)),
            ]
            parts = [(chosen, at[chosen], group, nodes) for chosen, at, group, nodes in parts]
        for chosen, at, group, nodes in parts:
            if len(chosen):
                values = _groove_values(
                    group, transport, middle[chosen], points[chosen, 1], at.astype(np.float32), nodes
                )
                found.append((values, rows[chosen], group.mix))
    front = np.flatnonzero(~in_gap & outwards)
    if len(front):
        found.append(
            (_chart_values(transport.front.charts[0], points[front]), rows[front], transport.front.mix)
        )
    square = np.flatnonzero(~in_gap & ~outwards)
    if len(square):
        values = _by_normal(transport.square, points[square], normals[square])
        found.append((values, rows[square], transport.square.mix))
    return found


def _room_blocks(
    gbuffer: GBuffer, transport: Transport, rows: NDArray[np.intp], weight: Floats
) -> list[Block]:
    """The room's faces; their reflectance goes into the values, so that one block holds them all."""
    where = transport.site
    points = where.to_light(gbuffer.position[rows])
    normals = where.to_light(gbuffer.normal[rows])
    floor, ceiling, walls = where.reflectance
    reflectance = np.zeros(len(SURFACES), np.float32)
    for word, value in zip(ROOM_WORDS, (floor, ceiling, walls), strict=True):
        reflectance[SURFACE_ID[word]] = value
    share = weight[rows] * reflectance[gbuffer.surface[rows]]
    back = np.flatnonzero(normals[:, 2] > 0.7)
    rest = np.flatnonzero(normals[:, 2] <= 0.7)
    blocks = []
    for chosen, group in ((back, transport.front), (rest, transport.room)):
        if len(chosen):
            values = _by_normal(group, points[chosen], normals[chosen])
            blocks.append(_block(gbuffer, "room", "area", rows[chosen], values, share[chosen], group.mix))
    return blocks
