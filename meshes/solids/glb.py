"""The scene as binary glTF 2.0 (ISO/IEC 12113:2022): metres, Y up, one node and one closed mesh a part.

Each mesh is one primitive, so that a reader gets every part back as one closed solid. The surface of each
face goes along as the vertex attribute ``_SURFACE`` (index into ``meshes.surfaces.SURFACES``; 255 for faces
that touch another part). The material is that of the surface that is seen most: a slat's front.
"""

import json
import struct
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from meshes.solids.quads import UNSEEN
from meshes.solids.scene import Part, Scene
from meshes.surfaces import PROPS, SURFACES

_FLOAT, _USHORT, _UINT, _UBYTE = 5126, 5123, 5125, 5121
_VERTICES, _INDICES = 34962, 34963
_VARIANTS = "KHR_materials_variants"

_MAIN = {"slat": "slat_front", "panel": "panel_edge"}

Colours = Mapping[str, Sequence[float]]


class _Buffers:
    """Buffer views that grow accessor by accessor; equal content is written once."""

    def __init__(self) -> None:
        self.chunks: tuple[list[bytes], ...] = ([], [], [], [])
        self.lengths = [0, 0, 0, 0]
        self.accessors: list[dict[str, object]] = []
        self.known: dict[tuple[int, bytes], int] = {}

    def add(self, view: int, data: bytes, accessor: dict[str, object]) -> int:
        key = (view, data)
        if key not in self.known:
            self.known[key] = len(self.accessors)
            self.accessors.append({"bufferView": view, "byteOffset": self.lengths[view], **accessor})
            padded = data + bytes(-len(data) % 4)
            self.chunks[view].append(padded)
            self.lengths[view] += len(padded)
        return self.known[key]


def main_surface(part: Part) -> str:
    """The surface word whose colour stands for the whole part."""
    kind = part.name.partition("/")[0]
    seen = part.faces.surfaces[part.faces.surfaces != UNSEEN]
    return _MAIN.get(kind) or (*SURFACES, *PROPS)[int(seen[0])]


def glb_bytes(scene: Scene, colours: Colours, variants: Mapping[str, Colours] | None = None) -> bytes:
    """The GLB file.

    colours : surface word -> (3,) linear BT.709 reflectance in [0, 1]; variants : more finishes by name
    (KHR_materials_variants), each a full mapping like ``colours``. Raises KeyError for a missing word.
    """
    greys = {word: (reflectance,) * 3 for word, reflectance in PROPS.items()}
    colours = {**greys, **colours}
    finishes = {name: {**greys, **palette} for name, palette in (variants or {}).items()}
    words = list(dict.fromkeys(main_surface(part) for part in scene.parts))
    materials = [_material(word, colours[word]) for word in words]
    by_finish: dict[str, list[int]] = {}
    for name, palette in finishes.items():
        by_finish[name] = list(range(len(materials), len(materials) + len(words)))
        materials += [_material(f"{word} · {name}", palette[word]) for word in words]

    buffers = _Buffers()
    triangles: dict[int, bytes] = {}
    meshes: list[dict[str, object]] = []
    for part in scene.parts:
        material = words.index(main_surface(part))
        primitive: dict[str, object] = _primitive(part, buffers, triangles, material)
        if finishes:
            mappings = [
                {"material": numbers[material], "variants": [index]}
                for index, numbers in enumerate(by_finish.values())
            ]
            primitive["extensions"] = {_VARIANTS: {"mappings": mappings}}
        meshes.append({"name": part.name, "primitives": [primitive]})
    return _pack(meshes, materials, buffers, list(finishes))


def _material(name: str, rgb_linear: Sequence[float]) -> dict[str, object]:
    factor = [min(1.0, max(0.0, float(channel))) for channel in rgb_linear]
    return {
        "name": name,
        "pbrMetallicRoughness": {
            "baseColorFactor": [*factor, 1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": 1.0,
        },
    }


def _primitive(
    part: Part, buffers: _Buffers, triangles: dict[int, bytes], material: int
) -> dict[str, object]:
    faces = part.faces
    count = 4 * len(faces)
    points = faces.corners.reshape(-1, 3).astype("<f4")
    normals = np.repeat(faces.normals, 4, axis=0).astype("<f4")
    surface: NDArray[np.uint8] = np.zeros((count, 4), np.uint8)
    surface[:, 0] = np.repeat(faces.surfaces, 4)
    narrow = count <= 65535
    if len(faces) not in triangles:
        triangles[len(faces)] = faces.triangles().astype("<u2" if narrow else "<u4").tobytes()
    vec3 = {"componentType": _FLOAT, "count": count, "type": "VEC3"}
    extent = {"min": points.min(axis=0).tolist(), "max": points.max(axis=0).tolist()}
    return {
        "attributes": {
            "POSITION": buffers.add(0, points.tobytes(), vec3 | extent),
            "NORMAL": buffers.add(1, normals.tobytes(), vec3),
            "_SURFACE": buffers.add(
                2, surface.tobytes(), {"componentType": _UBYTE, "count": count, "type": "SCALAR"}
            ),
        },
        "indices": buffers.add(
            3,
            triangles[len(faces)],
            {"componentType": _USHORT if narrow else _UINT, "count": 6 * len(faces), "type": "SCALAR"},
        ),
        "material": material,
    }


def _pack(
    meshes: list[dict[str, object]],
    materials: list[dict[str, object]],
    buffers: _Buffers,
    variants: list[str],
) -> bytes:
    views: list[dict[str, object]] = []
    start = 0
    for length, stride in zip(buffers.lengths, (12, 12, 4, None), strict=True):
        view: dict[str, object] = {"buffer": 0, "byteOffset": start, "byteLength": length}
        views.append(view | ({"byteStride": stride, "target": _VERTICES} if stride else {"target": _INDICES}))
        start += length
    document: dict[str, object] = {
        "asset": {"version": "2.0", "generator": "slatwright"},
        "scene": 0,
        "scenes": [{"nodes": list(range(len(meshes)))}],
        "nodes": [{"name": mesh["name"], "mesh": number} for number, mesh in enumerate(meshes)],
        "meshes": meshes,
        "materials": materials,
        "accessors": buffers.accessors,
        "bufferViews": views,
        "buffers": [{"byteLength": start}],
    }
    if variants:
        document["extensionsUsed"] = [_VARIANTS]
        document["extensions"] = {_VARIANTS: {"variants": [{"name": name} for name in variants]}}
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False).encode()
    text += b" " * (-len(text) % 4)
    binary = b"".join(chunk for chunks in buffers.chunks for chunk in chunks)
    body = (
        struct.pack("<I4s", len(text), b"JSON") + text + struct.pack("<I4s", len(binary), b"BIN\0") + binary
    )
    return struct.pack("<4sII", b"glTF", 2, 12 + len(body)) + body
