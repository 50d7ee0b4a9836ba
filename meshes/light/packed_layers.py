"""Layers as named arrays, for files; what blocks share is kept once, and is shared again when read."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.light.blocks import Block, Layers, side_by_side
from meshes.light.packed import Arrays

_SHARED = ("pixels", "mix")
"""Arrays that several blocks of layers hold in common."""


def layers_arrays(layers: Layers) -> Arrays:
    """Layers as named arrays; what blocks share is kept once."""
    found: Arrays = {
        "size": np.array([layers.width, layers.height]),
        "surfaces": np.array([block.surface for block in layers.blocks], dtype=np.str_),
        "zones": np.array([block.zone for block in layers.blocks], dtype=np.str_),
    }
    for name in _SHARED:
        first: dict[int, int] = {}
        for block in layers.blocks:
            array = getattr(block, name)
            if id(array) not in first:
                found[f"{name}.{len(first)}"] = array
                first[id(array)] = len(first)
        found[name] = np.array([first[id(getattr(block, name))] for block in layers.blocks])
    found["directions"] = np.array([block.values.shape[1] for block in layers.blocks], np.intp)
    for number, group in enumerate(layers.groups()):
        found[f"values.{number}"] = side_by_side(group).T
    return found


def layers_from(arrays: Mapping[str, NDArray[Any]]) -> Layers:
    """The inverse of ``layers_arrays``. Raises KeyError where an array is missing."""
    shared = {
        name: [arrays[f"{name}.{number}"] for number in range(int(arrays[name].max(initial=-1)) + 1)]
        for name in _SHARED
    }
    blocks: list[Block] = []
    group, start = -1, 0
    for number, (surface, zone) in enumerate(zip(arrays["surfaces"], arrays["zones"], strict=True)):
        if number == 0 or arrays["pixels"][number] != arrays["pixels"][number - 1]:
            group, start = group + 1, 0
            whole = np.array(arrays[f"values.{group}"])  # its own array, for blocks to be views of
        stop = start + int(arrays["directions"][number])
        blocks.append(
            Block(
                surface=str(surface),
                zone=str(zone),
                pixels=shared["pixels"][arrays["pixels"][number]],
                values=whole.T[:, start:stop],
                mix=shared["mix"][arrays["mix"][number]],
            )
        )
        start = stop
    width, height = (int(value) for value in arrays["size"])
    return Layers(width=width, height=height, blocks=tuple(blocks))
