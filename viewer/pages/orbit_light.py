"""One lighting's light for the orbit view: the same tables and small systems that the server's stills use.

Tables are half floats. Each is divided by its group's largest value, which goes into the group's ``mix``, so
that half floats hold it; their step of 2**-11 is a tenth of an 8-bit picture's.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import display_matrix
from finishes.lamps import observer
from meshes.light.charts import Chart
from meshes.light.frame import Frame
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID, SURFACES
from viewer.light import lamp_spds
from viewer.pages.orbit_container import Arrays, container
from viewer.pages.orbit_geometry import facings
from viewer.pages.orbit_things import thing_light
from viewer.picture import Studio

if TYPE_CHECKING:
    from meshes.light.lamps import Lighting

WALL_GROUPS = ("front", "square", "strips", "recess", "edges")
ROOM_GROUP = "room"
GROOVE_GROUPS = ("sides", "base")
ALIKE = 0.7
"""Cosine above which a face counts as turned as a chart is; the same in static/glsl/shade.glsl."""
Floats = NDArray[np.float64]
PAGE_EVERY = 2
"""Of so many grid lines a page gets one: two fifths of the bytes, for less than 0.2 of 255 in colour."""
FINE_SHARE = 0.2
"""Grid lines this much nearer to each other than the widest stand where light changes fast."""
BESIDE_M = 0.2
"""Every grid line is kept this near to a thing that stands no farther than ``SHADED_M`` from a surface."""
SHADED_M = 0.5
"""Shadows of what stands farther off are soft enough for fewer lines."""
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
        "charts": [f"{one.group}.{one.number}" for one in charts(transport)],
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
        **thing_light(studio.scene, transport),
    }
    return container(head, arrays)


def light_arrays(transport: Transport, *, every: int = 1) -> Arrays:
    """Systems, mixes, grid lines (float) and tables (half); those of walls round a corner by ``prefix``."""
    found: Arrays = {
        "facing": np.array([(*one.chart.normal, one.chart.at) for one in charts(transport)]),
    }
    for number, reduced in enumerate(transport.reduced):
        found[f"answer.{number}"], found[f"source.{number}"] = reduced.answer, reduced.source
    for number, wall in enumerate(transport.walls):
        found.update({prefix(number) + name: one for name, one in _wall_arrays(wall, every).items()})
    counts = [
        [len(found[f"{prefix(number)}{name}.table"]) for name in GROOVE_GROUPS]
        for number in range(len(transport.walls))
    ]
    found["stations"] = np.cumsum([[0, 0], *counts[:-1]], axis=0).ravel()
    return found


def prefix(wall: int) -> str:
    """What stands before the names of a wall's arrays: nothing for the first."""
    return f"{wall}:" if wall else ""


def _wall_arrays(wall: Transport, every: int) -> Arrays:
    things = wall.site.things
    sides = [_beside(things, 2, wall.site.front_z, axis) for axis in (0, 1)]
    across, along = kept(wall.across, every, sides[0]), kept(wall.along, every, sides[1])
    found: Arrays = {
        "side_nodes": wall.groove.side_nodes,
        "base_nodes": wall.groove.base_nodes,
        "across": wall.across[across],
        "along": wall.along[along],
        "gap_left": wall.site.gap_left,
    }
    for name in (*WALL_GROUPS, ROOM_GROUP):
        group = getattr(wall, name)
        if not group.charts:
            continue
        largest = max(float(np.abs(chart.table).max()) for chart in group.charts) or 1.0
        found[f"{name}.mix"] = group.mix * largest
        for number, chart in enumerate(group.charts):
            plane = int(np.abs(chart.normal).argmax())
            u, v = (
                kept(lines, every, _beside(things, plane, chart.at, axis))
                for lines, axis in zip((chart.u, chart.v), {0, 1, 2} - {plane}, strict=True)
            )
            found[f"{name}.{number}.u"], found[f"{name}.{number}.v"] = chart.u[u], chart.v[v]
            found[f"{name}.{number}.table"] = (chart.table[u][:, v] / largest).astype(np.float16)
    for name in GROOVE_GROUPS:
        inside = getattr(wall, name)
        largest = float(np.abs(inside.table).max()) or 1.0
        found[f"{name}.mix"] = inside.mix * largest
        table = inside.table[across] if len(inside.table) > 1 else inside.table
        found[f"{name}.table"] = (table[:, along] / largest).astype(np.float16)
    return found


def _beside(things: Floats, plane: int, at: float, axis: int) -> list[tuple[float, float]]:
    """From where to where along an axis things (n, 2, 3) throw sharp shadows on a plane that lies ``at``."""
    away = np.maximum(things[:, 0, plane] - at, at - things[:, 1, plane])
    return [(low - BESIDE_M, high + BESIDE_M) for low, high in things[away < SHADED_M][:, :, axis].tolist()]


def kept(lines: Floats, every: int, fine: Sequence[tuple[float, float]] = ()) -> NDArray[np.intp]:
    """Which lines of a grid are kept: one of ``every``, but all where the grid is finest or that lie in
    ``fine``, and both ends.
    """
    steps = np.diff(lines)
    if every == 1 or not len(steps):
        return np.arange(len(lines))
    finest = np.append(steps < FINE_SHARE * steps.max(), False)
    chosen = np.arange(len(lines)) % every == 0
    chosen |= finest | np.roll(finest, 1)
    for low, high in fine:
        chosen |= (lines >= low) & (lines <= high)
    chosen[[0, -1]] = True
    return np.flatnonzero(chosen)


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """A plane chart, and where it belongs: its wall, -1 for the room, and the name of its group's arrays."""

    wall: int
    word: str
    group: str
    number: int
    chart: Chart


def charts(transport: Transport) -> list[Shown]:
    """Every plane chart in the order that the shader counts them: wall by wall, then the room's."""
    places = [(number, word, wall) for number, wall in enumerate(transport.walls) for word in WALL_GROUPS]
    return [
        Shown(wall=number, word=word, group=prefix(max(number, 0)) + word, number=one, chart=chart)
        for number, word, wall in [*places, (-1, ROOM_GROUP, transport)]
        for one, chart in enumerate(getattr(wall, word).charts)
    ]


def defines(transport: Transport) -> dict[str, int]:
    """What the shader counts by."""
    every = charts(transport)
    of_room = sum(one.wall < 0 for one in every)
    return {
        "ROOM_FIRST": len(every) - of_room,
        "CHARTS": len(every),
        "WALLS": len(transport.walls),
        "MOST_LAMPS": MOST_LAMPS,
    }


def uniforms(transport: Transport, lamps: list[dict[str, Any]]) -> dict[str, Any]:
    """Plain numbers of the shaders in static/glsl, by name; vectors flat, wall after wall."""
    walls = transport.walls
    sites = [wall.site for wall in walls]
    lamps = lamps[:MOST_LAMPS]
    corners = [value for lamp in lamps for corner in lamp["corners"] for value in corner]
    shine = [value for lamp in lamps for value in lamp["shine"]]
    firsts, start = [], 0
    for wall in walls:
        ends = np.cumsum([start, *(len(getattr(wall, name).charts) for name in WALL_GROUPS)]).tolist()
        firsts += [ends[2], ends[3], ends[4], ends[5]]
        start = ends[5]
    return {
        "lightFromWorld": [value for one in sites for value in _matrix(one.frame)],
        "firsts": firsts,
        "gaps": [value for one in sites for value in (one.gap, len(one.gap_left))],
        "fronts": [one.front_z for one in sites],
        "nodes": [
            count for wall in walls for count in (len(wall.groove.side_nodes), len(wall.groove.base_nodes))
        ],
        "body": [value for one in sites for value in one.body[:2].T.ravel().tolist()],
        "box": [value for one in sites for value in one.box[:2].T.ravel().tolist()],
        "farther": [float(one.box[2, 1]) for one in sites],
        "up": [int(one.level) for one in sites],
        "corners": corners + [0.0] * (12 * MOST_LAMPS - len(corners)),
        "shine": shine + [0.0] * (3 * MOST_LAMPS - len(shine)),
        "lampCount": len(lamps),
    }


def _matrix(frame: Frame) -> list[float]:
    """A frame's points as a matrix (4, 4), column after column."""
    found = np.eye(4)
    found[:3, :3] = frame.directions(np.eye(3)).T
    found[:3, 3] = frame.shift
    return [float(value) for value in found.T.ravel()]


def shown(transport: Transport, seen: Sequence[tuple[Floats, int, int]]) -> list[tuple[int, int]]:
    """Which charts show which paints: (chart, paint), charts counted through all groups.

    seen : normals in the world, each with its paint and its wall, -1 for the room.
    """
    room = range(SURFACE_ID["room_floor"], len(SURFACES))
    found = []
    for world, paint, wall in seen:
        for number, one in enumerate(charts(transport)):
            normal = transport.walls[max(one.wall, 0)].site.frame.directions(world)
            if paint not in room:
                there = one.wall == wall and one.word != "strips"
            elif one.wall < 0:
                there = True
            else:
                there = (one.word == "strips") == (normal[2] <= ALIKE)
            if there and normal @ np.array(one.chart.normal) > ALIKE:
                found.append((number, paint))
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
