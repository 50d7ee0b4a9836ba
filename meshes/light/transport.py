"""Solve a lighting once, for every finish: set-outs, room and lamps in, finish-free tables and small
systems out.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.light.basis import Reduced, build_basis, training_finishes
from meshes.light.charts import (
    Chart,
    Gatherer,
    GrooveGroup,
    Group,
    compressed,
    groove_columns,
    room_columns,
    sources,
    training_coefficients,
    wall_columns,
)
from meshes.light.field import Field, direct_light, field
from meshes.light.groove import Groove
from meshes.light.lamps import Lighting
from meshes.light.polygon import Array
from meshes.light.props import PropBox, PropLight, prop_light
from meshes.light.recess import edge_columns, recess_columns
from meshes.light.room import Room
from meshes.light.room_patches import room_patches
from meshes.light.site import Site, site
from meshes.light.system import Light, room_direct, system

VERSION = 4
"""Goes into every cache key: raise it when the numbers of a transport change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Transport:
    """Everything that light needs to know about one wall under one lighting, whatever its finish.

    Columns of every group's ``mix``: for each lamp its direct light, then its basis vectors.
    """

    site: Site
    groove: Groove
    across: Array
    along: Array
    reduced: tuple[Reduced, ...]
    """One small system a lamp."""
    worst_residual: float
    """Largest residual over the training finishes: the error bar of the reduction."""
    front: Group
    """Fronts: the plane of the slat fronts over the whole wall."""
    square: Group
    """Edges that stand square to the wall: normals +a, -a, +b, -b in the plane of the fronts."""
    recess: Group
    """Wall beside the slats, behind the plane of the fronts, in the shadow of the body."""
    edges: Group
    """Outer sides of the body: trims, end slats, the lower edge above a skirting."""
    sides: GrooveGroup
    base: GrooveGroup
    room: Group
    props: PropLight | None = None
    """Light on grey things in the room, where there are any."""

    @property
    def columns(self) -> int:
        return sum(1 + one.vectors for one in self.reduced)


def solve_lighting(
    set_outs: Sequence[SetOut], room: Room, lighting: Lighting, props: Sequence[PropBox] = ()
) -> Transport:
    """Solve one lighting. Takes no finish: whatever a finish changes is left open, exactly.

    props : corners of grey things in the room [m]; they are lit and change nothing else.
    Raises nothing for lamps in odd places; ``meshes.light.checks`` names those before.
    """
    where = site(set_outs, room, lighting)
    patches = room_patches(where)
    stations = field(where, patches)
    whole = system(where, patches, stations)
    nodes, fronts = direct_light(where, stations)
    zones = np.concatenate([fronts[:, :, None], nodes[:, :, stations.groove.zone_nodes]], axis=2)
    direct = Light(room_direct(where, patches), zones)
    basis = build_basis(whole, direct)
    light = sources(whole, direct, basis)
    gather = Gatherer(where, patches, whole, light)
    trained = training_coefficients(basis, training_finishes())
    walls = wall_columns(where, gather)
    front = _plane_group([(2, *walls[0])], trained)
    square = _plane_group([(2, *wall) for wall in walls[1:]], trained)
    rooms = _plane_group(
        [(plane.axis, plane.normal, u, v, table) for plane, u, v, table in room_columns(where, gather)],
        trained,
    )
    sides, base = _groove_groups(stations, groove_columns(whole, stations, light, nodes), trained)
    return Transport(
        site=where,
        groove=stations.groove,
        across=stations.across,
        along=stations.along,
        reduced=basis.reduced,
        worst_residual=basis.worst_residual,
        front=front,
        square=square,
        recess=_plane_group(recess_columns(where, gather), trained),
        edges=_plane_group(edge_columns(where, gather), trained),
        sides=sides,
        base=base,
        room=rooms,
        props=prop_light(where, gather, props, trained),
    )


def _plane_group(parts: list[tuple[int, Array, Array, Array, Array]], trained: Array) -> Group:
    if not parts:
        return Group(charts=(), mix=np.zeros((0, trained.shape[1])))
    tables, mix = compressed([table for *_, table in parts], trained)
    charts = []
    for (axis, normal, u, v, _), table in zip(parts, tables, strict=True):
        direction = (float(normal[0]), float(normal[1]), float(normal[2]))
        charts.append(Chart(axis=axis, normal=direction, u=u, v=v, table=table))
    return Group(charts=tuple(charts), mix=mix)


def _groove_groups(stations: Field, columns: Array, trained: Array) -> tuple[GrooveGroup, GrooveGroup]:
    sides = 2 * len(stations.groove.side_nodes)
    found: list[GrooveGroup] = []
    for part in (columns[:, :, :sides], columns[:, :, sides:]):
        tables, mix = compressed([part], trained)
        table: NDArray[np.float32] = tables[0]
        found.append(GrooveGroup(table=table, mix=mix))
    return found[0], found[1]
