"""One lighting's light for the orbit view: the same tables and small systems that the server's stills use.

A binary container: the length of a JSON head (4 bytes, little endian), the head padded to 4 bytes, then
arrays. ``head["arrays"][name] = [kind, shape, offset]``, offset in bytes from the end of the head, kind
``f2`` (half floats, for tables that become textures) or ``f4``. A table is divided by its group's largest
value, which goes into the group's ``mix``, so that half floats hold it; their step of 2**-11 is a tenth of
an 8-bit picture's.
"""

import json
import struct
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import display_matrix
from finishes.lamps import observer
from meshes.light.system import CLASSES
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID
from viewer.light import lamp_spds
from viewer.picture import Studio

if TYPE_CHECKING:
    from meshes.light.lamps import Lighting

Arrays = dict[str, NDArray[Any]]
PLANE_GROUPS = ("front", "square", "room", "recess", "edges")
GROOVE_GROUPS = ("sides", "base")
MOST_HOLES = 16
"""Holes whose bottom the orbit view darkens; the size of a table in its shader."""


def light_bytes(studio: Studio, lighting: "Lighting") -> bytes:
    """The container of one lighting of a studio's job."""
    transport = studio.transport(lighting)
    exposure = studio.exposure(lighting)
    head: dict[str, Any] = {
        "level": transport.site.level,
        "front_z": transport.site.front_z,
        "fabric_z": transport.site.fabric_z,
        "gap": transport.site.gap,
        "pitch": transport.site.gap + transport.site.slat_width,
        "gaps": len(transport.site.gap_left),
        "first_gap": float(transport.site.gap_left[0]) if len(transport.site.gap_left) else 0.0,
        "body": transport.site.body.tolist(),
        "box": transport.site.box.tolist(),
        "holes": transport.site.holes.tolist()[:MOST_HOLES],
        "charts": {name: len(getattr(transport, name).charts) for name in PLANE_GROUPS},
        "classes": [SURFACE_ID[word] for word in CLASSES[:-1]],
        "room_reflectance": list(transport.site.reflectance),
        "white_cd_m2": exposure.white_cd_m2,
        "display": display_matrix(exposure.white_xyz * exposure.white_cd_m2).tolist(),
        "lamps": [
            {"corners": transport.site.to_light(lamp.corners).tolist(), "luminance": lamp.luminance}
            for lamp in transport.site.lamps
        ],
    }
    arrays: Arrays = {
        "spd": lamp_spds(lighting, studio.catalogue),
        "observer": observer(cache_dir=studio.catalogue.cache_dir),
        **light_arrays(transport),
    }
    return container(head, arrays)


def light_arrays(transport: Transport) -> Arrays:
    """Systems, mixes, grid lines (float) and tables (half)."""
    found: Arrays = {
        "side_nodes": transport.groove.side_nodes,
        "base_nodes": transport.groove.base_nodes,
        "across": transport.across,
        "along": transport.along,
    }
    for number, reduced in enumerate(transport.reduced):
        found[f"answer.{number}"], found[f"source.{number}"] = reduced.answer, reduced.source
    for name in PLANE_GROUPS:
        group = getattr(transport, name)
        largest = max((float(np.abs(chart.table).max()) for chart in group.charts), default=0.0) or 1.0
        found[f"{name}.mix"] = group.mix * largest
        found[f"{name}.normals"] = np.array([chart.normal for chart in group.charts]).reshape(-1, 3)
        for number, chart in enumerate(group.charts):
            found[f"{name}.{number}.u"], found[f"{name}.{number}.v"] = chart.u, chart.v
            found[f"{name}.{number}.table"] = (chart.table / largest).astype(np.float16)
    for name in GROOVE_GROUPS:
        inside = getattr(transport, name)
        largest = float(np.abs(inside.table).max()) or 1.0
        found[f"{name}.mix"] = inside.mix * largest
        found[f"{name}.table"] = (inside.table / largest).astype(np.float16)
    return found


def container(head: dict[str, Any], arrays: Arrays) -> bytes:
    """The binary container of a head and its arrays."""
    places: dict[str, tuple[str, tuple[int, ...], int]] = {}
    chunks: list[bytes] = []
    offset = 0
    for name, array in arrays.items():
        kind = "f2" if array.dtype == np.float16 else "f4"
        data = np.ascontiguousarray(array, dtype=f"<{kind}").tobytes()
        places[name] = (kind, array.shape, offset)
        data += bytes(-len(data) % 4)
        chunks.append(data)
        offset += len(data)
    text = json.dumps({**head, "arrays": places}, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    return struct.pack("<I", len(text)) + text + b"".join(chunks)
