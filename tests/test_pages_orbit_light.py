"""The orbit view's light: its container, and the vectors that both solvers are held to."""

import json
import struct
from pathlib import Path
from types import SimpleNamespace
from typing import Any, cast

import numpy as np
import pytest
from light_sites import MIXED, wall

from meshes.light.basis import Reduced
from meshes.light.classes import CLASSES
from meshes.light.placed import lamp_axes, lamp_corners
from meshes.light.relight import class_reflectance, column_coefficients
from meshes.light.room import Room
from meshes.light.transport import Transport, solve_lighting
from meshes.surfaces import SURFACE_ID, SURFACES
from viewer.pages.orbit_container import container
from viewer.pages.orbit_light import lamp_faces

VECTORS = Path(__file__).parent / "data" / "relight-vectors.json"
BANDS, LAMPS, VECTORS_OF_LAMP = 5, 2, (3, 2)


def made() -> dict[str, Any]:
    """Small systems with a strong exchange, worked out by the server's own code."""
    rng = np.random.default_rng(7)
    systems = []
    for k in VECTORS_OF_LAMP:
        answer = rng.uniform(-0.2, 0.6, (len(CLASSES), k, k)) / (2 * k)
        systems.append(Reduced(answer=answer, source=rng.uniform(0, 1, (len(CLASSES), k)), gram=np.eye(1)))
    reflectance = rng.uniform(0.05, 0.9, (len(SURFACES), BANDS))
    spd, observer = rng.uniform(0.1, 1, (LAMPS, BANDS)), rng.uniform(0, 1, (BANDS, 3))
    transport = cast(Transport, SimpleNamespace(reduced=tuple(systems)))
    columns = column_coefficients(transport, reflectance, spd, observer)
    mix = rng.uniform(-1, 1, (4, len(columns)))
    last = rng.uniform(0, 1, BANDS)
    return {
        "systems": [
            {"vectors": one.vectors, "answer": one.answer.tolist(), "source": one.source.tolist()}
            for one in systems
        ],
        "by_class": class_reflectance(reflectance)[:, :-1].T.tolist(),
        "spd": spd.tolist(),
        "observer": observer.tolist(),
        "columns": columns.tolist(),
        "mix": mix.tolist(),
        "last": last.tolist(),
        "directions": (mix @ np.einsum("cwk,w->ck", columns, last / np.pi)).tolist(),
    }


def test_the_vectors_that_javascript_is_held_to_are_what_the_server_computes() -> None:
    kept, now = json.loads(VECTORS.read_text()), made()
    assert kept.keys() == now.keys()
    for name in ("by_class", "columns", "directions"):
        # one machine's linear algebra against another's
        np.testing.assert_allclose(kept[name], now[name], rtol=1e-11, atol=1e-13, err_msg=name)


def test_classes_stand_in_the_order_that_the_container_names() -> None:
    reflectance = np.arange(len(SURFACES), dtype=float)[:, None] / 100
    by_class = class_reflectance(reflectance)
    assert by_class[0, -1] == 1
    assert by_class[0, :-1].tolist() == [SURFACE_ID[word] / 100 for word in CLASSES[:-1]]


@pytest.mark.parametrize("dtype", [np.float16, np.float64])
def test_a_container_gives_back_its_arrays_and_head(dtype: type) -> None:
    values = np.arange(15, dtype=dtype).reshape(3, 5)
    data = container({"level": True, "name": "é"}, {"one": values, "two": values[:1] * 2})
    (length,) = struct.unpack("<I", data[:4])
    head = json.loads(data[4 : 4 + length])
    assert length % 4 == 0
    assert head["level"] is True
    assert head["name"] == "é"
    for name, expected in (("one", values), ("two", values[:1] * 2)):
        kind, shape, offset = head["arrays"][name]
        assert offset % 4 == 0
        count = int(np.prod(shape))
        found = np.frombuffer(data, f"<{kind}", count, 4 + length + offset).reshape(shape)
        np.testing.assert_array_equal(found, expected)


@pytest.mark.parametrize("run", ["upright", "level"])
def test_a_lamps_face_stands_where_the_lamp_is_and_shines_where_it_does(run: str) -> None:
    transport = solve_lighting((wall(run=run),), Room(depth_mm=3000), MIXED)
    spds, matrix = np.ones((2, 41)), np.eye(3)
    for lamp, face in zip(MIXED.lamps, lamp_faces(transport, spds, np.ones((41, 3)), matrix), strict=True):
        corners = np.array(face["corners"])
        assert corners == pytest.approx(lamp_corners(lamp))
        out = np.cross(corners[1] - corners[0], corners[2] - corners[1])
        assert out / np.linalg.norm(out) == pytest.approx(lamp_axes(lamp)[2])
