"""The GLB against the Khronos validator and against trimesh's reader."""

import io
import json
import os
import shutil
import struct
import subprocess
import time
from pathlib import Path

import numpy as np
import pytest
import trimesh
from hand_built import Box, demo, level, rect, upright

from meshes.solids.glb import glb_bytes
from meshes.solids.props import Extras
from meshes.solids.scene import build
from meshes.surfaces import SURFACES

STATIC = Path(__file__).parent.parent / "static"
GREY = {word: (0.5, 0.4, 0.3) for word in SURFACES}
VALIDATE = """
const validator = require('gltf-validator');
const chunks = [];
process.stdin.on('data', (c) => chunks.push(c)).on('end', () => {
  validator.validateBytes(new Uint8Array(Buffer.concat(chunks)))
    .then((report) => console.log(JSON.stringify(report.issues)));
});
"""


def validated(glb):
    """Issue counts of gltf-validator; skipped where Node or the module is missing."""
    if shutil.which("node") is None:
        pytest.skip("node is not installed")
    found = subprocess.run(
        ["node", "-e", "require.resolve('gltf-validator')"], cwd=STATIC, capture_output=True, check=False
    )
    if found.returncode:
        pytest.skip("gltf-validator is not installed in static/node_modules")
    run = subprocess.run(
        ["node", "-e", VALIDATE], input=glb, cwd=STATIC, capture_output=True, check=True, env=os.environ
    )
    return json.loads(run.stdout)


def document(glb):
    length = struct.unpack("<I", glb[12:16])[0]
    return json.loads(glb[20 : 20 + length])


@pytest.mark.parametrize(
    ("set_outs", "turns"),
    [
        ([demo()], ()),
        ([level()], ()),
        ([upright(hole=rect(0, 0, 526, 400)), upright()], ("inside",)),
    ],
)
@pytest.mark.parametrize("variants", [None, {"A": GREY, "B": dict.fromkeys(SURFACES, (0.1, 0.1, 0.1))}])
def test_the_khronos_validator_finds_nothing(set_outs, turns, variants):
    issues = validated(glb_bytes(build(set_outs, Box(), turns), GREY, variants))
    assert issues["messages"] == []
    assert issues["numErrors"] == issues["numWarnings"] == issues["numInfos"] == 0


def test_grey_things_in_the_picture_go_along():
    extras = Extras(hidden=((rect(300, 0, 900, 740),),), figure=True, card=True)
    glb = glb_bytes(build([demo(30)], Box(), extras=extras), GREY)
    assert validated(glb)["messages"] == []
    names = {node["name"] for node in document(glb)["nodes"]}
    assert {"block/0", "figure/0", "card/0"} <= names


def test_trimesh_reads_every_part_back_as_a_closed_solid_where_the_set_out_puts_it():
    set_out = demo()
    scene = build([set_out], Box())
    loaded = trimesh.load(io.BytesIO(glb_bytes(scene, GREY)), file_type="glb")
    nodes = {name: loaded.graph[name] for name in loaded.graph.nodes_geometry}
    assert set(nodes) == {part.name for part in scene.parts}
    volume = 0.0
    for slat in set_out.slats:
        matrix, geometry = nodes[f"slat/{slat.index}"]
        mesh = loaded.geometry[geometry].copy()
        np.testing.assert_array_equal(matrix, np.eye(4))
        mesh.merge_vertices(merge_norm=True, merge_tex=True)
        assert mesh.is_volume
        volume += mesh.volume
        assert mesh.bounds[0][0] == pytest.approx(float(slat.extent.left) / 1000, abs=1e-6)
    exact = sum(piece.area for slat in set_out.slats for piece in slat.pieces) * set_out.slat_depth
    assert volume * 1e9 == pytest.approx(float(exact), rel=1e-5)  # float32 positions
    np.testing.assert_allclose(
        loaded.bounds, [[0, 0, 0], [float(set_out.wall_width) / 1000, 2.55, 4]], atol=1e-6
    )


def test_normals_are_explicit_and_not_smoothed_over_edges():
    scene = build([upright()], Box())
    loaded = trimesh.load(io.BytesIO(glb_bytes(scene, GREY)), file_type="glb")
    mesh = loaded.geometry["slat/3"]
    assert len(mesh.vertices) == 24
    assert np.abs(mesh.vertex_normals).max(axis=1).min() == pytest.approx(1)


def test_materials_carry_the_given_linear_colours_and_one_variant_a_finish():
    scene = build([demo(12)], Box())
    red = {**GREY, "fabric": (0.7, 0.05, 0.04)}
    found = document(glb_bytes(scene, GREY, {"grey": GREY, "red": red}))
    names = [material["name"] for material in found["materials"]]
    factor = found["materials"][names.index("fabric · red")]["pbrMetallicRoughness"]["baseColorFactor"]
    assert factor == [0.7, 0.05, 0.04, 1.0]
    variants = found["extensions"]["KHR_materials_variants"]["variants"]
    assert [variant["name"] for variant in variants] == ["grey", "red"]
    fabric = next(mesh for mesh in found["meshes"] if mesh["name"] == "fabric/0")
    mappings = fabric["primitives"][0]["extensions"]["KHR_materials_variants"]["mappings"]
    assert [names[m["material"]] for m in mappings] == ["fabric · grey", "fabric · red"]
    assert names[fabric["primitives"][0]["material"]] == "fabric"


def test_each_vertex_carries_its_surface():
    scene = build([upright(count=1, panels=1)], Box())
    glb = glb_bytes(scene, GREY)
    found = document(glb)
    start = 20 + struct.unpack("<I", glb[12:16])[0] + 8
    accessor = found["accessors"][found["meshes"][0]["primitives"][0]["attributes"]["_SURFACE"]]
    view = found["bufferViews"][accessor["bufferView"]]
    data = np.frombuffer(glb, np.uint8, 4 * 24, start + view["byteOffset"] + accessor["byteOffset"])
    assert data[::4].tolist() == np.repeat(scene.parts[0].faces.surfaces, 4).tolist()


def test_a_missing_colour_is_named():
    with pytest.raises(KeyError, match="fabric"):
        glb_bytes(build([upright()], Box()), {word: (1, 1, 1) for word in SURFACES if word != "fabric"})


@pytest.mark.parametrize(("count", "seconds", "largest"), [(75, 0.3, 150_000), (2000, 3.0, 4_000_000)])
def test_size_and_time_from_set_out_to_glb(count, seconds, largest):
    set_out = demo(count) if count == 75 else upright(count=count, width=20, gap=8, panels=80)
    start = time.process_time()
    glb = glb_bytes(build([set_out], Box()), GREY)
    assert time.process_time() - start < seconds
    assert len(glb) <= largest
