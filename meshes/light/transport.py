"""Solve a lighting once, for every finish: set-outs, room and lamps in, finish-free tables and small
systems out.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.light.balance import system
from meshes.light.basis import Reduced, build_basis, training_finishes
from meshes.light.building import room_patches
from meshes.light.charts import (
    Chart,
    Charted,
    GrooveGroup,
    Group,
    groove_columns,
    room_columns,
    wall_columns,
)
from meshes.light.directions import compressed, training_coefficients
from meshes.light.field import Field, direct_light, field
from meshes.light.gather import Gatherer, sources
from meshes.light.groove import Groove
from meshes.light.lamps import Lighting
from meshes.light.plan import plan_of, solid
from meshes.light.pocket_charts import pocket_columns
from meshes.light.polygon import Array
from meshes.light.props import PropLight, prop_light
from meshes.light.recess import edge_columns, recess_columns
from meshes.light.room import Room
from meshes.light.room_direct import room_direct
from meshes.light.site import Site, sites
from meshes.light.strips import strip_columns
from meshes.light.system import Light
from meshes.solids.props import PropBox

VERSION = 12
"""Goes into every cache key: raise it when the numbers of a transport change."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Transport:
    """Everything that light needs to know about one wall under one lighting, whatever its finish; of the
    first wall, with its room and the walls round the corner.

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
    """Wall beside the slats, behind the plane of the fronts, in the shadow of the body; pockets' bottoms."""
    edges: Group
    """Outer sides of the body: trims, end slats, the lower edge above a skirting."""
    sides: GrooveGroup
    base: GrooveGroup
    strips: Group
    """Strips of the room's faces beside the body, behind the plane of the fronts."""
    room: Group
    props: PropLight | None = None
    """Light on grey things in the room, where there are any."""
    others: tuple["Transport", ...] = ()
    """The walls round the corner, in their order; they have the same systems, and no room of their own."""

    @property
    def walls(self) -> tuple["Transport", ...]:
        """This wall and those round the corner."""
        return (self, *self.others)

    @property
    def columns(self) -> int:
        return sum(1 + one.vectors for one in self.reduced)


def solve_lighting(
    set_outs: Sequence[SetOut], room: Room, lighting: Lighting, props: Sequence[PropBox] = ()
) -> Transport:
    """Solve one lighting. Takes no finish: whatever a finish changes is left open, exactly.

    props : corners of grey things that stand in the room [m]; they shade it and are part of its exchange.
    Raises nothing for lamps in odd places; ``meshes.light.checks`` names those before. Raises ValueError
    where the walls cannot stand in one closed room.
    """
    plan = plan_of(set_outs, room, lighting, solid(props))
    walls = sites(set_outs, room, lighting, solid(props))
    patches = room_patches(plan, walls)
    fields = [field(number, where, patches.moved(where.frame)) for number, where in enumerate(walls)]
    whole = system(walls, patches, fields)
    inside = [direct_light(where, stations) for where, stations in zip(walls, fields, strict=True)]
    zones = [
        np.concatenate([fronts[:, :, None], nodes[:, :, stations.groove.zone_nodes]], axis=2)
        for (nodes, fronts), stations in zip(inside, fields, strict=True)
    ]
    direct = Light(room_direct(walls, patches) / whole.room_open[:, None], tuple(zones))
    basis = build_basis(whole, direct)
    light = sources(whole, direct, basis)
    trained = training_coefficients(basis, training_finishes())
    found = [
        _wall(Gatherer(number, walls, patches, fields, light), fields[number], nodes, trained)
        for number, (nodes, _) in enumerate(inside)
    ]
    gather = Gatherer(0, walls, patches, fields, light)
    return replace(
        found[0],
        others=tuple(found[1:]),
        room=_plane_group(room_columns(gather), trained),
        props=prop_light(gather, props, trained),
    )


def _wall(gather: Gatherer, stations: Field, nodes: Array, trained: Array) -> Transport:
    """What one wall shows, without the room and the things in it."""
    sides, base = _groove_groups(stations, groove_columns(gather, nodes), trained)
    walls = wall_columns(gather)
    basis = gather.light.basis
    return Transport(
        site=gather.where,
        groove=stations.groove,
        across=stations.across,
        along=stations.along,
        reduced=basis.reduced,
        worst_residual=basis.worst_residual,
        front=_plane_group(walls[:1], trained),
        square=_plane_group(walls[1:], trained),
        recess=_plane_group(recess_columns(gather) + pocket_columns(gather), trained),
        edges=_plane_group(edge_columns(gather), trained),
        sides=sides,
        base=base,
        strips=_plane_group(strip_columns(gather, stations), trained),
        room=_plane_group([], trained),
    )


def _plane_group(parts: list[Charted], trained: Array) -> Group:
    if not parts:
        return Group(charts=(), mix=np.zeros((0, trained.shape[1])))
    tables, mix = compressed([table for *_, table in parts], trained)
    charts = []
    for (axis, at, normal, u, v, _), table in zip(parts, tables, strict=True):
        direction = (float(normal[0]), float(normal[1]), float(normal[2]))
        charts.append(Chart(axis=axis, at=float(at), normal=direction, u=u, v=v, table=table))
    return Group(charts=tuple(charts), mix=mix)


def _groove_groups(
    stations: Field, columns: NDArray[np.float32], trained: Array
) -> tuple[GrooveGroup, GrooveGroup]:
    sides = 2 * len(stations.groove.side_nodes)
    found: list[GrooveGroup] = []
    for part in (columns[:, :, :sides], columns[:, :, sides:]):
        tables, mix = compressed([part], trained)
        table: NDArray[np.float32] = tables[0]
        found.append(GrooveGroup(table=table, mix=mix))
    return found[0], found[1]
