"""Layers: the light of a lighting as the pixels of one view see it, still free of any finish.

A block holds one kind of surface: the pixels that show it and, filtered over each pixel, the few directions
in which its light can move. A picture is blocks times coefficients, added up over the pixels.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import NOTHING, GBuffer
from meshes.light.lamp_cover import lamp_cover
from meshes.light.lookup import Floats, room_light, wall_light
from meshes.light.polygon import Array
from meshes.light.props import prop_values
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID, SURFACES

ROOM_WORDS = ("room_floor", "room_ceiling", "room_walls")
FIGURED = ("slat_front", "slat_side", "slat_end")
ZONES = ("early", "late", "knot")
"""What figure divides a surface into."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One kind of surface in one view.

    surface : a surface word, ``room`` (reflectance baked in) or ``lamp``; zone : "area", one of ZONES where
    figure divides the surface, or the number of a plate's own colour; pixels : (m,) rising; values : (m, r)
    float32, filtered irradiance directions [lx] (``lamp``: luminance [cd/m2] of each lamp's face); mix :
    (r, columns) as in ``Group``.
    """

    surface: str
    zone: str
    pixels: NDArray[np.int32]
    values: Floats
    mix: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheen:
    """Light that comes to the eye beside what a surface scatters, whatever its colour: a coat's mirror image.

    rows : (n,) rising, samples of the view; values : (n, r) what falls on white to look so [lx]; mix as in
    ``Block``.
    """

    rows: NDArray[np.intp]
    values: Floats
    mix: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Layers:
    """All blocks of one view under one lighting.

    Blocks that show in the same pixels follow each other and hold the same array ``pixels``.
    """

    width: int
    height: int
    blocks: tuple[Block, ...]

    @property
    def count(self) -> int:
        """Number of single layers: the rows of ``relight.coefficients``."""
        return sum(block.values.shape[1] for block in self.blocks)


def layers(
    gbuffer: GBuffer,
    transport: Transport,
    mask: Floats | None = None,
    knots: Floats | None = None,
    own: NDArray[np.int16] | None = None,
    sheen: Sequence[Sheen] = (),
    share: Floats | None = None,
) -> Layers:
    """Light every sample of a view and filter it to pixels, surface by surface.

    mask : (samples,) late-wood share in [0, 1] at each sample, or None for plain surfaces without figure;
    knots : (samples,) share of knots; what neither takes is early wood; own : (samples,) number of a colour
    that a plate has of its own, -1 for that of its surface; sheen : what coats mirror; share : (samples,) of
    its scattered light that each sample sends to the eye, or None for all of it.
    Raises ValueError where the mask's shape is not the samples', or where the view shows grey things without
    the transport having been solved for them.
    """
    if mask is not None and mask.shape != gbuffer.surface.shape:
        raise ValueError(f"mask: expected shape {gbuffer.surface.shape}, got {mask.shape}")
    where = transport.site
    hidden, shining = lamp_cover(gbuffer, where)
    whole = gbuffer.weight * (1 - hidden)
    weight = whole if share is None else whole * share
    blocks: list[Block] = []
    for word in SURFACES:
        if word in ROOM_WORDS:
            continue
        rows = np.flatnonzero(gbuffer.surface == SURFACE_ID[word])
        if not len(rows):
            continue
        lit = wall_light(transport, word, gbuffer.position[rows], gbuffer.normal[rows])
        for values, inside, mix in lit:
            chosen = rows[inside]
            for zone, some, part in _zones(word, chosen, mask, knots, own):
                there = chosen[some]
                blocks.append(_block(gbuffer, word, zone, there, values[some], weight[there] * part, mix))
    of_room = (gbuffer.surface >= SURFACE_ID["room_floor"]) & (gbuffer.surface < len(SURFACES))
    rows = np.flatnonzero(of_room)
    if len(rows):
        blocks += _room_blocks(gbuffer, transport, rows, weight)
    if ((gbuffer.surface >= len(SURFACES)) & (gbuffer.surface != NOTHING)).any():
        if transport.props is None:
            raise ValueError("props: the view shows grey things that the lighting was not solved for")
        rows, values = prop_values(transport.props, where, gbuffer)
        blocks.append(_block(gbuffer, "room", "area", rows, values, weight[rows], transport.props.mix))
    for one in sheen:
        blocks.append(_block(gbuffer, "room", "area", one.rows, one.values, whole[one.rows], one.mix))
    for number, (lamp, (pixels, cover)) in enumerate(zip(where.lamps, shining, strict=True)):
        if len(pixels):
            only = np.zeros((1, len(where.lamps)))
            only[0, number] = lamp.luminance
            blocks.append(Block(surface="lamp", zone="area", pixels=pixels, values=cover[:, None], mix=only))
    return Layers(
        width=gbuffer.width, height=gbuffer.height, blocks=_together(blocks, gbuffer.width * gbuffer.height)
    )


def _zones(
    word: str,
    rows: NDArray[np.intp],
    mask: Floats | None,
    knots: Floats | None,
    own: NDArray[np.int16] | None,
) -> list[tuple[str, NDArray[np.intp], Floats]]:
    """What colours there are on some samples of a surface: zone, which of ``rows``, and its share of each."""
    every, one = np.arange(len(rows)), np.ones(len(rows), np.float32)
    if mask is not None and word in FIGURED:
        late = mask[rows]
        knot = knots[rows] if knots is not None else np.zeros_like(late)
        some = np.flatnonzero(knot > 0)
        found = [("early", every, np.asarray(one - late - knot, np.float32)), ("late", every, late)]
        return [*found, ("knot", some, knot[some])] if len(some) else found
    if own is not None and word == "plate":
        numbers = own[rows]
        kinds = [(number, np.flatnonzero(numbers == number)) for number in np.unique(numbers).tolist()]
        return [("area" if number < 0 else str(number), some, one[some]) for number, some in kinds]
    return [("area", every, one)]


def _together(blocks: list[Block], pixels: int) -> tuple[Block, ...]:
    """Blocks cut so that those which share a pixel share all their pixels: a picture then writes each pixel
    once. Blocks of one part of the picture follow each other and hold the very same array of pixels.
    """
    kinds = np.zeros(pixels, np.int64)
    for number, block in enumerate(blocks):
        kinds[block.pixels] |= 1 << number
    found: list[Block] = []
    order = np.argsort(kinds, kind="stable").astype(np.int32)
    ordered = kinds[order]
    starts = np.flatnonzero(np.diff(ordered, prepend=-1))
    for start, stop in zip(starts, [*starts[1:], pixels], strict=True):
        kind, shared = int(ordered[start]), order[start:stop].copy()
        here = [block for number, block in enumerate(blocks) if kind >> number & 1]
        ends = np.cumsum([0, *(block.values.shape[1] for block in here)])
        # one array for all, so that a picture is one product
        values = np.empty((ends[-1], len(shared)), np.float32).T
        for block, left, right in zip(here, ends, ends[1:], strict=False):
            values[:, left:right] = block.values[np.searchsorted(block.pixels, shared)]
            found.append(replace(block, pixels=shared, values=values[:, left:right]))
    return tuple(found)


def _block(
    gbuffer: GBuffer,
    word: str,
    zone: str,
    rows: NDArray[np.intp],
    values: Floats,
    weight: Floats,
    mix: Array,
) -> Block:
    pixels, summed = gbuffer.summed(rows, values, weight)
    return Block(surface=word, zone=zone, pixels=pixels, values=summed, mix=mix)


def _room_blocks(
    gbuffer: GBuffer, transport: Transport, rows: NDArray[np.intp], weight: Floats
) -> list[Block]:
    """The room's faces; their reflectance goes into the values, so that one block holds them all."""
    floor, ceiling, walls = transport.site.reflectance
    reflectance = np.zeros(len(SURFACES), np.float32)
    for word, value in zip(ROOM_WORDS, (floor, ceiling, walls), strict=True):
        reflectance[SURFACE_ID[word]] = value
    share = weight[rows] * reflectance[gbuffer.surface[rows]]
    blocks = []
    for values, chosen, mix in room_light(transport, gbuffer.position[rows], gbuffer.normal[rows]):
        blocks.append(_block(gbuffer, "room", "area", rows[chosen], values, share[chosen], mix))
    return blocks
