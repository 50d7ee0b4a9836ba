"""Blocks cut to shared pixels: nothing is lost, each pixel comes once, however many blocks there are."""

import numpy as np
import pytest

from meshes.light.blocks import Block, Layers, together
from meshes.light.relight import picture


@pytest.mark.parametrize("count", [3, 38, 39, 90])
def test_cut_blocks_add_up_to_the_same_picture(count):
    rng = np.random.default_rng(count)
    size = 600
    blocks = []
    expected = np.zeros(size)
    for _ in range(count):
        pixels = np.flatnonzero(rng.random(size) < 0.05).astype(np.int32)
        values = rng.random((len(pixels), 2)).astype(np.float32)
        np.add.at(expected, pixels, values.sum(axis=1))
        blocks.append(Block(surface="fabric", zone="area", pixels=pixels, values=values, mix=np.ones((2, 1))))
    cut = Layers(width=30, height=20, blocks=tuple(together(blocks, 0, size)))
    found = picture(cut, np.ones((cut.count, 1), np.float32)).ravel()
    assert found == pytest.approx(expected, abs=1e-4)
    every = np.concatenate(list({id(block.pixels): block.pixels for block in cut.blocks}.values()))
    assert len(every) == len(np.unique(every))
    assert cut.bytes >= sum(block.values.nbytes for block in cut.blocks)
