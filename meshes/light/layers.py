"""Layers: the light of a lighting as the pixels of one view see it, still free of any finish.

A block holds one kind of surface: the pixels that show it and, filtered over each pixel, the few directions
in which its light can move. A picture is blocks times coefficients, added up over the pixels.
"""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from meshes.gbuffer import NOTHING, GBuffer
from meshes.light.blocks import Block, Layers, Sheen, together
from meshes.light.lamp_cover import lamp_cover
from meshes.light.lookup import room_light, wall_light
from meshes.light.polygon import Array
from meshes.light.props import PropLight, prop_values
from meshes.light.tables import ALL, Floats, Rows
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID, SURFACES

ROOM_WORDS = ("room_floor", "room_ceiling", "room_walls")
FIGURED = ("slat_front", "slat_side", "slat_end")

_PIXELS_AT_ONCE = 300_000


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
    grey = (gbuffer.surface >= len(SURFACES)) & (gbuffer.surface != NOTHING)
    if grey.any() and transport.props is None:
        raise ValueError("props: the view shows grey things that the lighting was not solved for")
    hidden, shining = lamp_cover(gbuffer, transport.site)
    whole = gbuffer.weight * (1 - hidden)
    weight = whole if share is None else whole * share
    found: list[Block] = []
    for band in _bands(gbuffer):
        blocks = _wall_blocks(gbuffer, transport, band, weight, mask, knots, own)
        blocks += _room_blocks(gbuffer, transport, band, weight)
        if transport.props is not None:
            blocks += _grey_blocks(
                gbuffer, transport, transport.props, band.start + np.flatnonzero(grey[band]), weight
            )
        for one in sheen:
            some = slice(*np.searchsorted(one.rows, [band.start, band.stop]))
            rows = one.rows[some]
            blocks.append(_block(gbuffer, "room", "area", rows, one.values[some], whole[rows], one.mix))
        first, after = int(gbuffer.pixel[band.start]), int(gbuffer.pixel[band.stop - 1]) + 1
        for number, (lamp, (pixels, cover)) in enumerate(zip(transport.site.lamps, shining, strict=True)):
            some = slice(*np.searchsorted(pixels, [first, after]))
            only = np.zeros((1, len(shining)))
            only[0, number] = lamp.luminance
            values = cover[some, None]
            blocks.append(Block(surface="lamp", zone="area", pixels=pixels[some], values=values, mix=only))
        found += together([block for block in blocks if len(block.pixels)], first, after)
    return Layers(width=gbuffer.width, height=gbuffer.height, blocks=tuple(found))


def _bands(gbuffer: GBuffer) -> list[slice]:
    """Samples in bands of whole rows, so that only a part of the picture is in the making at a time.

    One band where the filter reaches from row to row.
    """
    if not len(gbuffer):
        return []
    if gbuffer.reach is not None and gbuffer.stride != 1:
        return [slice(0, len(gbuffer))]
    rows = max(1, _PIXELS_AT_ONCE // gbuffer.width)
    starts = np.arange(0, gbuffer.height, rows) * gbuffer.width
    edges = [*np.searchsorted(gbuffer.pixel, starts).tolist(), len(gbuffer)]
    return [slice(start, stop) for start, stop in pairwise(edges)]


def _wall_blocks(
    gbuffer: GBuffer,
    transport: Transport,
    band: slice,
    weight: Floats,
    mask: Floats | None,
    knots: Floats | None,
    own: NDArray[np.int16] | None,
) -> list[Block]:
    blocks: list[Block] = []
    surface = gbuffer.surface[band]
    for word in SURFACES:
        rows = band.start + np.flatnonzero(surface == SURFACE_ID[word])
        if word in ROOM_WORDS or not len(rows):
            continue
        for values, inside, mix in wall_light(transport, word, gbuffer.position[rows], gbuffer.normals(rows)):
            chosen = rows[inside]
            for zone, some, part in _zones(word, chosen, mask, knots, own):
                there = chosen[some]
                blocks.append(_block(gbuffer, word, zone, there, values[some], weight[there] * part, mix))
    return blocks


def _grey_blocks(
    gbuffer: GBuffer, transport: Transport, light: PropLight, rows: NDArray[np.intp], weight: Floats
) -> list[Block]:
    """Grey things in the room, with their reflectance in the values as the room's."""
    if not len(rows):
        return []
    places, facing = gbuffer.position[rows].astype(np.float64), gbuffer.normals(rows).astype(np.float64)
    return [
        _block(gbuffer, "room", "area", rows, values, weight[rows], mix)
        for values, mix in prop_values(light, transport.site, gbuffer.surface[rows], places, facing)
    ]


def _zones(
    word: str,
    rows: NDArray[np.intp],
    mask: Floats | None,
    knots: Floats | None,
    own: NDArray[np.int16] | None,
) -> list[tuple[str, Rows, Floats]]:
    """What colours there are on some samples of a surface: zone, which of ``rows``, and its share of each."""
    one = np.ones(len(rows), np.float32)
    if mask is not None and word in FIGURED:
        late = mask[rows]
        knot = knots[rows] if knots is not None else np.zeros_like(late)
        some = np.flatnonzero(knot > 0)
        early = np.asarray(one - late - knot, np.float32)
        found: list[tuple[str, Rows, Floats]] = [("early", ALL, early), ("late", ALL, late)]
        return [*found, ("knot", some, knot[some])] if len(some) else found
    if own is not None and word == "plate":
        numbers = own[rows]
        kinds = [(number, np.flatnonzero(numbers == number)) for number in np.unique(numbers).tolist()]
        return [("area" if number < 0 else str(number), some, one[some]) for number, some in kinds]
    return [("area", ALL, one)]


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


def _room_blocks(gbuffer: GBuffer, transport: Transport, band: slice, weight: Floats) -> list[Block]:
    """The room's faces; their reflectance goes into the values, so that one block holds them all."""
    surface = gbuffer.surface[band]
    of_room = (surface >= SURFACE_ID["room_floor"]) & (surface < len(SURFACES))
    rows = band.start + np.flatnonzero(of_room)
    if not len(rows):
        return []
    reflectance = np.zeros(len(SURFACES), np.float32)
    for word, value in zip(ROOM_WORDS, transport.site.reflectance, strict=True):
        reflectance[SURFACE_ID[word]] = value
    share = weight[rows] * reflectance[gbuffer.surface[rows]]
    return [
        _block(gbuffer, "room", "area", rows[chosen], values, share[chosen], mix)
        for values, chosen, mix in room_light(transport, gbuffer.position[rows], gbuffer.normals(rows))
    ]
