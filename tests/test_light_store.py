"""The cache of solved light: keyed by content and never by finish, whole or absent, limited in size."""

import errno
import os
import time
from dataclasses import replace

import numpy as np
import pytest
from light_sites import EVENING, MIXED, finish, wall

import meshes.light.store as store_module
from meshes.light.blocks import Block, Layers
from meshes.light.packed import transport_arrays, transport_from
from meshes.light.packed_layers import layers_arrays, layers_from
from meshes.light.relight import column_coefficients, picture
from meshes.light.room import Room
from meshes.light.store import LightStore, transport_key
from meshes.light.transport import solve_lighting

ROOM = Room(depth_mm=3000)


@pytest.fixture(scope="module")
def transport():
    return solve_lighting((wall(),), ROOM, EVENING)


@pytest.fixture
def counted(monkeypatch, transport):
    """Solves are counted, and answered at once."""
    calls = []

    def solve(*given):
        calls.append(given)
        return transport

    monkeypatch.setattr(store_module, "solve_lighting", solve)
    return calls


def test_a_transport_survives_being_written(tmp_path, transport):
    path = tmp_path / "t.npz"
    np.savez(path, **transport_arrays(transport))
    with np.load(path, allow_pickle=False) as file:
        again = transport_from(dict(file))
    given = (finish(), np.ones((1, 41)), np.ones((41, 3)))
    assert np.array_equal(column_coefficients(again, *given), column_coefficients(transport, *given))
    for name, array in transport_arrays(transport).items():
        assert np.array_equal(transport_arrays(again)[name], array), name


def test_layers_survive_being_written():
    block = Block(
        surface="fabric",
        zone="area",
        pixels=np.array([1, 3], np.int32),
        values=np.array([[1.5], [2.5]], np.float32),
        mix=np.array([[1.0, 0.25]]),
    )
    beside = replace(block, surface="slat_front", zone="early", values=np.ones((2, 3), np.float32))
    alone = replace(block, pixels=np.array([0], np.int32), values=np.array([[4.0]], np.float32))
    given = Layers(width=2, height=2, blocks=(block, beside, alone))
    again = layers_from(layers_arrays(given))
    assert (again.width, again.height, again.count) == (2, 2, 5)
    for one, two in zip(again.blocks, given.blocks, strict=True):
        assert (one.surface, one.zone) == (two.surface, two.zone)
        assert np.array_equal(one.pixels, two.pixels)
        assert np.array_equal(one.values, two.values)
    # what showed in the same pixels still shares them, and is one array
    assert [len(group) for group in again.groups()] == [2, 1]
    assert again.blocks[0].values.base is again.blocks[1].values.base
    weights = np.arange(10, dtype=np.float32).reshape(5, 2)
    assert np.array_equal(picture(again, weights), picture(given, weights))


def test_one_solve_for_what_is_kept(tmp_path, counted):
    store = LightStore(folder=tmp_path / "light")
    for _ in range(3):
        store.transport((wall(),), ROOM, EVENING)
    assert len(counted) == 1
    store.transport((wall(gap=21),), ROOM, EVENING)
    store.transport((wall(),), Room(depth_mm=3001), EVENING)
    store.transport((wall(),), ROOM, MIXED)
    assert len(counted) == 4


def test_the_key_holds_no_spectrum_and_no_name_of_a_lighting():
    """Colour is a matter of the last multiply: neither finishes nor lamp spectra belong to the key."""
    lamp = EVENING.lamps[0].model_copy(update={"spectrum": "A"})
    other = EVENING.model_copy(update={"name": "late", "lamps": (lamp,)})
    assert transport_key((wall(),), ROOM, EVENING) == transport_key((wall(),), ROOM, other)


@pytest.mark.parametrize("damage", [b"", b"PK\x03\x04 half a file", None])
def test_a_damaged_file_is_made_anew(tmp_path, counted, damage):
    store = LightStore(folder=tmp_path)
    store.transport((wall(),), ROOM, EVENING)
    (path,) = tmp_path.glob("*.npz")
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) // 2] if damage is None else damage)
    store.transport((wall(),), ROOM, EVENING)
    assert len(counted) == 2
    store.transport((wall(),), ROOM, EVENING)
    assert len(counted) == 2


def test_a_write_that_fails_leaves_nothing(tmp_path, monkeypatch):
    store = LightStore(folder=tmp_path)

    def full(*_, **__):
        raise OSError("no space left")

    monkeypatch.setattr(np, "savez", full)
    with pytest.raises(OSError, match="no space left"):
        store.save("transport-x", {"a": np.zeros(3)})
    assert list(tmp_path.iterdir()) == []


def test_a_full_disk_costs_the_next_solve_and_not_this_one(tmp_path, counted, monkeypatch, caplog, transport):
    store = LightStore(folder=tmp_path)

    def full(*_, **__):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(np, "savez", full)
    for solves in (1, 2):
        assert store.transport((wall(),), ROOM, EVENING) is transport
        assert len(counted) == solves
    assert [record.getMessage() for record in caplog.records] == 2 * [
        "solved light was not kept: No space left on device"
    ]
    assert list(tmp_path.iterdir()) == []


def test_what_a_killed_process_left_half_written_goes(tmp_path):
    store = LightStore(folder=tmp_path)
    for name, age_s in (("left.part", 3700), ("begun.part", 60)):
        (tmp_path / name).write_bytes(b"half")
        os.utime(tmp_path / name, (time.time() - age_s,) * 2)
    store.save("k", {"a": np.zeros(3)})
    assert {path.name for path in tmp_path.iterdir()} == {"begun.part", "k.npz"}


def test_the_least_recently_used_go_first(tmp_path):
    store = LightStore(folder=tmp_path, limit_bytes=30_000)
    for number in range(3):
        store.save(f"k{number}", {"a": np.full(1000, float(number))})  # 8 kB each
        os.utime(tmp_path / f"k{number}.npz", (1000 + number, 1000 + number))
    assert store.load("k0") is not None  # read just now
    store.save("k3", {"a": np.zeros(1000)})
    kept = {path.stem for path in tmp_path.glob("*.npz")}
    assert kept == {"k0", "k2", "k3"}
