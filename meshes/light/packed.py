"""Transports and layers as flat named arrays, and back: what the store writes and the orbit view's export
reads.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.light.basis import Reduced
from meshes.light.charts import Chart, GrooveGroup, Group
from meshes.light.frame import frame_from
from meshes.light.groove import Groove
from meshes.light.props import PropLight
from meshes.light.site import LampFace, Site
from meshes.light.transport import Transport

PLANE_GROUPS = ("front", "square", "recess", "edges", "strips", "room")
Arrays = dict[str, NDArray[Any]]
_PROP_ARRAYS = ("boxes", "bodies", "counts", "starts", "table", "mix", "from_lamps")


def site_arrays(where: Site) -> Arrays:
    """Everything that a solve depends on."""
    skirting = (-1.0, -1.0) if where.skirting is None else where.skirting
    return {
        "site.level": np.array(where.level),
        "site.frame": where.frame.plain,
        "site.box": where.box,
        "site.face": where.face,
        "site.plain": np.array(
            [where.fabric_z, where.front_z, where.slat_width, where.gap, *skirting, *where.reflectance]
        ),
        "site.gap_left": where.gap_left,
        "site.body": where.body,
        "site.holes": where.holes,
        "site.floors": where.floors,
        "site.lining": where.lining,
        "site.edges": where.edges,
        "site.notches": where.notches,
        "site.things": where.things,
        "lamps.names": np.array([lamp.name for lamp in where.lamps], dtype=np.str_),
        "lamps.corners": np.array([lamp.corners for lamp in where.lamps]),
        "lamps.normal": np.array([lamp.normal for lamp in where.lamps]),
        "lamps.plain": np.array([[lamp.luminance, lamp.lumens] for lamp in where.lamps]),
        "lamps.free": np.array(where.free),
    }


def site_from(arrays: Mapping[str, NDArray[Any]]) -> Site:
    """The inverse of ``site_arrays``."""
    plain = [float(value) for value in arrays["site.plain"]]
    lamps = zip(
        arrays["lamps.names"],
        arrays["lamps.corners"],
        arrays["lamps.normal"],
        arrays["lamps.plain"],
        strict=True,
    )
    return Site(
        level=bool(arrays["site.level"]),
        frame=frame_from(arrays["site.frame"]),
        box=arrays["site.box"],
        face=arrays["site.face"],
        body=arrays["site.body"],
        holes=arrays["site.holes"],
        floors=arrays["site.floors"],
        lining=arrays["site.lining"],
        edges=arrays["site.edges"],
        notches=arrays["site.notches"],
        things=arrays["site.things"],
        free=tuple(bool(one) for one in arrays["lamps.free"]),
        fabric_z=plain[0],
        front_z=plain[1],
        slat_width=plain[2],
        gap=plain[3],
        gap_left=arrays["site.gap_left"],
        skirting=None if plain[4] < 0 else (plain[4], plain[5]),
        reflectance=(plain[6], plain[7], plain[8]),
        lamps=tuple(
            LampFace(
                name=str(name),
                corners=corners,
                normal=normal,
                luminance=float(sizes[0]),
                lumens=float(sizes[1]),
            )
            for name, corners, normal, sizes in lamps
        ),
    )


def transport_arrays(transport: Transport) -> Arrays:
    """A transport as named arrays; holds no finish. Walls round the corner have a number before each name."""
    found = _wall_arrays(transport)
    found["walls"] = np.array(len(transport.walls))
    for number, wall in enumerate(transport.others, 1):
        found.update({f"{number}:{name}": array for name, array in _wall_arrays(wall).items()})
    return found


def _wall_arrays(transport: Transport) -> Arrays:
    found = site_arrays(transport.site)
    section = transport.groove
    found["groove.plain"] = np.array([section.slat_width, section.gap, section.depth])
    found["groove.side_edges"], found["groove.base_edges"] = section.side_edges, section.base_edges
    found["across"], found["along"] = transport.across, transport.along
    found["worst_residual"] = np.array(transport.worst_residual)
    for number, reduced in enumerate(transport.reduced):
        found[f"reduced.{number}.answer"] = reduced.answer
        found[f"reduced.{number}.source"] = reduced.source
        found[f"reduced.{number}.gram"] = reduced.gram
    for name in PLANE_GROUPS:
        group: Group = getattr(transport, name)
        if not group.charts:
            continue
        found[f"{name}.mix"] = group.mix
        found[f"{name}.axis"] = np.array([chart.axis for chart in group.charts])
        found[f"{name}.at"] = np.array([chart.at for chart in group.charts])
        found[f"{name}.normal"] = np.array([chart.normal for chart in group.charts])
        for number, chart in enumerate(group.charts):
            found[f"{name}.{number}.u"], found[f"{name}.{number}.v"] = chart.u, chart.v
            found[f"{name}.{number}.table"] = chart.table
    for name in ("sides", "base"):
        inside: GrooveGroup = getattr(transport, name)
        found[f"{name}.mix"], found[f"{name}.table"] = inside.mix, inside.table
    if transport.props is not None:
        for name in _PROP_ARRAYS:
            found[f"props.{name}"] = getattr(transport.props, name)
    return found


def _group_from(arrays: Mapping[str, NDArray[Any]], name: str) -> Group:
    if f"{name}.mix" not in arrays:
        return Group(charts=(), mix=np.zeros((0, 0)))
    charts = []
    for number, (axis, at, normal) in enumerate(
        zip(*(arrays[f"{name}.{key}"] for key in ("axis", "at", "normal")), strict=True)
    ):
        charts.append(
            Chart(
                axis=int(axis),
                at=float(at),
                normal=(float(normal[0]), float(normal[1]), float(normal[2])),
                u=arrays[f"{name}.{number}.u"],
                v=arrays[f"{name}.{number}.v"],
                table=arrays[f"{name}.{number}.table"],
            )
        )
    return Group(charts=tuple(charts), mix=arrays[f"{name}.mix"])


def _props_from(arrays: Mapping[str, NDArray[Any]]) -> PropLight | None:
    if "props.table" not in arrays:
        return None
    return PropLight(**{name: arrays[f"props.{name}"] for name in _PROP_ARRAYS})


def transport_from(arrays: Mapping[str, NDArray[Any]]) -> Transport:
    """The inverse of ``transport_arrays``. Raises KeyError where an array is missing."""
    others = [
        _wall_from(
            {
                name.removeprefix(f"{number}:"): array
                for name, array in arrays.items()
                if name.startswith(f"{number}:")
            }
        )
        for number in range(1, int(arrays["walls"]))
    ]
    return replace(_wall_from(arrays), others=tuple(others))


def _wall_from(arrays: Mapping[str, NDArray[Any]]) -> Transport:
    where = site_from(arrays)
    width, gap, depth = (float(value) for value in arrays["groove.plain"])
    return Transport(
        site=where,
        groove=Groove(
            slat_width=width,
            gap=gap,
            depth=depth,
            side_edges=arrays["groove.side_edges"],
            base_edges=arrays["groove.base_edges"],
        ),
        across=arrays["across"],
        along=arrays["along"],
        reduced=tuple(
            Reduced(
                answer=arrays[f"reduced.{number}.answer"],
                source=arrays[f"reduced.{number}.source"],
                gram=arrays[f"reduced.{number}.gram"],
            )
            for number in range(len(where.lamps))
        ),
        worst_residual=float(arrays["worst_residual"]),
        front=_group_from(arrays, "front"),
        square=_group_from(arrays, "square"),
        recess=_group_from(arrays, "recess"),
        edges=_group_from(arrays, "edges"),
        strips=_group_from(arrays, "strips"),
        room=_group_from(arrays, "room"),
        sides=GrooveGroup(table=arrays["sides.table"], mix=arrays["sides.mix"]),
        base=GrooveGroup(table=arrays["base.table"], mix=arrays["base.mix"]),
        props=_props_from(arrays),
    )
