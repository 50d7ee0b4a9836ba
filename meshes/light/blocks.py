"""What layers are made of: blocks of one kind of surface each, cut so that a picture is few products."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby, pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.light.polygon import Array
from meshes.light.tables import Floats

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

    def groups(self) -> Iterator[tuple[Block, ...]]:
        """Blocks that show in the same pixels."""
        for _, shared in groupby(self.blocks, key=lambda block: id(block.pixels)):
            yield tuple(shared)

    @property
    def count(self) -> int:
        """Number of single layers: the rows of ``relight.coefficients``."""
        return sum(block.values.shape[1] for block in self.blocks)

    @property
    def bytes(self) -> int:
        """Memory of all blocks; what they share counts once."""
        arrays = [one for block in self.blocks for one in (block.values, block.pixels, block.mix)]
        owners = [one if one.base is None else one.base for one in arrays]
        return sum(one.nbytes for one in {id(one): one for one in owners}.values())


def side_by_side(blocks: Sequence[Block]) -> NDArray[np.float32]:
    """Values of blocks that share their pixels (m, r): the array that they are views of, if there is one."""
    whole = blocks[0].values.base
    count = sum(block.values.shape[1] for block in blocks)
    if (
        whole is not None
        and whole.ndim == 2
        and len(whole) == count
        and all(block.values.base is whole for block in blocks)
    ):
        return np.asarray(whole, np.float32).T
    return np.concatenate([block.values for block in blocks], axis=1)


def together(blocks: list[Block], first: int, after: int) -> list[Block]:
    """Blocks cut so that those which share a pixel share all their pixels: a picture then writes each pixel
    once. Blocks of one part of the picture follow each other and hold the very same array of pixels.

    blocks : of the pixels from ``first`` to before ``after``.
    """
    kinds = _numbered(_kinds(blocks, first, after))
    count = int(kinds.max(initial=0)) + 1
    kinds = kinds.astype(np.min_scalar_type(count))  # numbers of two bytes are sorted several times as fast
    order = np.argsort(kinds, kind="stable").astype(np.int32) + np.int32(first)
    ends = np.cumsum(np.bincount(kinds, minlength=count))
    places = [_by_kind(kinds[block.pixels - first], count) for block in blocks]
    found: list[Block] = []
    for kind, (start, stop) in enumerate(pairwise([0, *ends.tolist()])):
        shared = order[start:stop].copy()
        here = [
            (block, rows[bounds[kind] : bounds[kind + 1]])
            for block, (rows, bounds) in zip(blocks, places, strict=True)
            if bounds[kind] < bounds[kind + 1]
        ]
        left = 0
        # one array for all, so that a picture is one product
        values = np.empty((sum(block.values.shape[1] for block, _ in here), len(shared)), np.float32).T
        for block, rows in here:
            right = left + block.values.shape[1]
            values[:, left:right] = block.values[rows]
            found.append(replace(block, pixels=shared, values=values[:, left:right]))
            left = right
    return found


def _by_kind(kinds: NDArray[np.integer[Any]], count: int) -> tuple[NDArray[np.intp], list[int]]:
    """Rows of a block in the order of its pixels' ``kinds``, and where each kind begins and ends."""
    bounds = np.concatenate([[0], np.cumsum(np.bincount(kinds, minlength=count))])
    return np.argsort(kinds, kind="stable"), bounds.tolist()


_BITS = 38
"""Blocks told apart at a time; the numbers of kinds so far stand above them in 64 bits."""


def _kinds(blocks: list[Block], first: int, after: int) -> NDArray[np.int64]:
    """(after - first,) a number for each pixel, equal where the same blocks show."""
    kinds = np.zeros(after - first, np.int64)
    for start in range(0, len(blocks), _BITS):
        if start:
            kinds = _numbered(kinds) << _BITS
        for number, block in enumerate(blocks[start : start + _BITS]):
            kinds[block.pixels - first] |= 1 << number
    return kinds


def _numbered(kinds: NDArray[np.int64]) -> NDArray[np.int64]:
    """The same told apart by 0, 1, 2, ... in their rising order; neighbours are often equal."""
    starts = np.flatnonzero(np.diff(kinds, prepend=-1))
    number = np.unique(kinds[starts], return_inverse=True)[1].astype(np.int64)
    return np.repeat(number, np.diff(starts, append=len(kinds)))
