"""One lighting's light for the orbit view: the same tables and small systems that the server's stills use.

Tables are half floats. Each is divided by its group's largest value, which goes into the group's ``mix``, so
that half floats hold it; their step of 2**-11 is a tenth of an 8-bit picture's.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import display_matrix
from finishes.lamps import observer
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID, SURFACES
from viewer.light import lamp_spds
from viewer.pages.orbit_container import Arrays, container
from viewer.pages.orbit_geometry import facings
from viewer.picture import Studio

if TYPE_CHECKING:
    from meshes.light.lamps import Lighting

PLANE_GROUPS = ("front", "square", "room", "strips", "recess", "edges")
GROOVE_GROUPS = ("sides", "base")
ALIKE = 0.7
"""Cosine above which a face counts as turned as a chart is; the same in static/glsl/shade.glsl."""
Floats = NDArray[np.float64]
PAGE_EVERY = 2
"""Of so many grid lines a page gets one: two fifths of the bytes, for less than 0.2 of 255 in colour."""
FINE_SHARE = 0.2
"""Grid lines this much nearer to each other than the widest stand where light changes fast."""
MOST_LAMPS = 16
"""Lamps that the orbit view's coat mirrors; the size of a table in its shader."""


def light_bytes(studio: Studio, lighting: "Lighting", *, every: int = PAGE_EVERY) -> bytes:
    """The container of one lighting of a studio's job. every : of how many grid lines one is kept."""
    transport = studio.transport(lighting)
    exposure = studio.exposure(lighting)
    matrix = display_matrix(exposure.white_xyz * exposure.white_cd_m2)
    spds, seen = lamp_spds(lighting, studio.catalogue), observer(cache_dir=studio.catalogue.cache_dir)
    lamps = lamp_faces(transport, spds, seen, matrix)
    head = {
        "charts": [name for name, _normal in charts(transport)],
        "layers": shown(transport, facings(studio.scene)),
        "display": matrix.tolist(),
        "lamps": lamps,
        "defines": defines(transport),
        "uniforms": uniforms(transport, lamps),
    }
    arrays: Arrays = {
        "spd": spds,
        "observer": seen,
        **light_arrays(transport, every=every),
    }
    return container(head, arrays)


def light_arrays(transport: Transport, *, every: int = 1) -> Arrays:
    """Systems, mixes, grid lines (float) and tables (half)."""
    across, along = kept(transport.across, every), kept(transport.along, every)
    found: Arrays = {
        "side_nodes": transport.groove.side_nodes,
        "base_nodes": transport.groove.base_nodes,
        "across": transport.across[across],
        "along": transport.along[along],
        "gap_left": transport.site.gap_left,
        "normals": np.array([normal for _name, normal in charts(transport)]),
    }
    for number, reduced in enumerate(transport.reduced):
        found[f"answer.{number}"], found[f"source.{number}"] = reduced.answer, reduced.source
    for name in PLANE_GROUPS:
        group = getattr(transport, name)
        largest = max((float(np.abs(chart.table).max()) for chart in group.charts), default=0.0) or 1.0
        found[f"{name}.mix"] = group.mix * largest
        for number, chart in enumerate(group.charts):
            u, v = kept(chart.u, every), kept(chart.v, every)
            found[f"{name}.{number}.u"], found[f"{name}.{number}.v"] = chart.u[u], chart.v[v]
            found[f"{name}.{number}.table"] = (chart.table[u][:, v] / largest).astype(np.float16)
    for name in GROOVE_GROUPS:
        inside = getattr(transport, name)
        largest = float(np.abs(inside.table).max()) or 1.0
        found[f"{name}.mix"] = inside.mix * largest
        table = inside.table[across] if len(inside.table) > 1 else inside.table
        found[f"{name}.table"] = (table[:, along] / largest).astype(np.float16)
    return found


def kept(lines: Floats, every: int) -> NDArray[np.intp]:
    """Which lines of a grid are kept: one of ``every``, but all where the grid is finest, and both ends."""
    steps = np.diff(lines)
    if every == 1 or not len(steps):
        return np.arange(len(lines))
    fine = np.append(steps < FINE_SHARE * steps.max(), False)
    chosen = np.arange(len(lines)) % every == 0
    chosen |= fine | np.roll(fine, 1)
    chosen[[0, -1]] = True
    return np.flatnonzero(chosen)


def charts(transport: Transport) -> list[tuple[str, tuple[float, ...]]]:
    """Name and normal of every plane chart, in the order that the shader counts them."""
    return [
        (f"{name}.{number}", chart.normal)
        for name in PLANE_GROUPS
        for number, chart in enumerate(getattr(transport, name).charts)
    ]


def defines(transport: Transport) -> dict[str, int]:
    """What the shader counts by."""
    counts = np.cumsum([len(getattr(transport, name).charts) for name in PLANE_GROUPS]).tolist()
    _front, room, strips, recess, edges, every = counts
    first = {"ROOM_FIRST": room, "STRIPS_FIRST": strips, "RECESS_FIRST": recess, "EDGES_FIRST": edges}
    return {**first, "CHARTS": every, "MOST_LAMPS": MOST_LAMPS}


def uniforms(transport: Transport, lamps: list[dict[str, Any]]) -> dict[str, Any]:
    """Plain numbers of the shaders in static/glsl, by name; vectors flat."""
    where = transport.site
    lamps = lamps[:MOST_LAMPS]
    corners = [value for lamp in lamps for corner in lamp["corners"] for value in corner]
    shine = [value for lamp in lamps for value in lamp["shine"]]
    return {
        "level": int(where.level),
        "gaps": [where.gap, len(where.gap_left)],
        "planes": [where.fabric_z, where.front_z],
        "nodes": [len(transport.groove.side_nodes), len(transport.groove.base_nodes)],
        "body": where.body[:2].T.ravel().tolist(),
        "box": where.box[:2].T.ravel().tolist(),
        "farther": float(where.box[2, 1]),
        "heights": [chart.at for name in PLANE_GROUPS for chart in getattr(transport, name).charts],
        "corners": corners + [0.0] * (12 * MOST_LAMPS - len(corners)),
        "shine": shine + [0.0] * (3 * MOST_LAMPS - len(shine)),
        "lampCount": len(lamps),
    }


def shown(transport: Transport, seen: Sequence[tuple[Floats, int]]) -> list[tuple[int, int]]:
    """Which charts show which paints: (chart, paint), charts counted through all groups."""
    every = charts(transport)
    room = range(SURFACE_ID["room_floor"], len(SURFACES))
    found = []
    for world, paint in seen:
        normal = transport.site.to_light(world)
        of_room = paint in room and normal[2] <= ALIKE
        found += [
            (number, paint)
            for number, (name, direction) in enumerate(every)
            if normal @ np.array(direction) > ALIKE and name.startswith(("room", "strips")) == of_room
        ]
    return sorted(set(found))


def lamp_faces(transport: Transport, spds: Floats, seen: Floats, matrix: Floats) -> list[dict[str, Any]]:
    """Corners of each lamp in the world, anticlockwise where it shines, and its display values there."""
    xyz = spds @ seen
    return [
        {
            "corners": transport.site.frame.world(lamp.corners).tolist(),
            "shine": np.maximum(matrix @ (white / white[1] * lamp.luminance), 0).tolist(),
        }
        for lamp, white in zip(transport.site.lamps, xyz, strict=True)
    ]
