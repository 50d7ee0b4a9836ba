"""Patches for a room: floor and ceiling, its sides, the faces of what stands and hangs in it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from meshes.light.classes import CLASSES, ROOM
from meshes.light.faces import touching
from meshes.light.grid import lines
from meshes.light.plan import Plan
from meshes.light.plane import Plane
from meshes.light.pockets import pockets_of
from meshes.light.polygon import Array
from meshes.light.room_patches import RoomPatches
from meshes.light.site import Site
from meshes.solids.room import inside_plan

THING_REFLECTANCE = 0.4
"""Of grey blocks and of the figure, as in ``meshes.surfaces.PROPS``."""
_THING_CELL_M = 0.6
_NEAR_M = 0.5
"""Patches follow the edges of what stands or hangs so near to them."""
_ENDS_M = 0.05
"""The room's sides have a strip so wide where slats end: light changes fast in that corner."""


def room_patches(plan: Plan, walls: Sequence[Site]) -> RoomPatches:
    """Graded patches of a room round the fields of its walls, in world metres."""
    plain = _sides(plan, walls)
    planes: list[Plane] = []
    field_shape: list[tuple[int, int]] = []
    weights: list[Array] = []
    count, cells = 0, 0
    for number, (plane, reflectance, kept) in enumerate(plain):
        wall = number - 2
        if 0 <= wall < len(walls):
            where = walls[wall]
            own = replace(plane, patch=np.arange(kept.size).reshape(kept.shape)).moved(where.frame)
            middle_a, middle_b = own.middles
            in_a = (middle_a > where.face[0, 0]) & (middle_a < where.face[0, 1])
            in_b = (middle_b > where.face[1, 0]) & (middle_b < where.face[1, 1])
            field = in_a[:, None] & in_b[None, :]
            plane.cell.flat[own.patch[field]] = cells + np.arange(field.sum())
            cells += int(field.sum())
            field_shape.append((int(in_a.sum()), int(in_b.sum())))
            kept = kept & (plane.cell < 0)
            made = np.empty((kept.size, len(CLASSES)))
            made[own.patch.ravel()] = _lined(own, where, reflectance).reshape(-1, len(CLASSES))
            weights.append(made.reshape(*kept.shape, -1)[kept])
        else:
            grey = np.zeros((int(kept.sum()), len(CLASSES)))
            grey[:, ROOM] = reflectance
            weights.append(grey)
        plane.patch[kept] = count + np.arange(kept.sum())
        count += int(kept.sum())
        planes.append(plane)
    area = np.zeros(count)
    for plane in planes:
        own_patch = plane.patch >= 0
        area[plane.patch[own_patch]] = plane.areas[own_patch]
    pockets, of_cell, slatted = pockets_of(walls, planes[2:], cells, count)
    for pocket in pockets:
        area = np.concatenate([area, pocket.area])
        weights.append(pocket.weight)
    return RoomPatches(
        planes=tuple(planes),
        wall_plane=tuple(2 + number for number in range(len(walls))),
        field_shape=tuple(field_shape),
        pockets=pockets,
        weight=np.concatenate(weights),
        area=area,
        pocket_of_cell=of_cell,
        slatted=slatted,
        solids=np.concatenate([plan.notches, plan.things, plan.hanging]),
        thing_planes=len(planes) - 2 - len(plan.edges),
    )


Side = tuple[Plane, float, NDArray[np.bool_]]
"""A plane without numbers yet, its reflectance, and which of its cells are there."""


def _sides(plan: Plan, walls: Sequence[Site]) -> list[Side]:
    """Floor, ceiling, the plan's sides in their order, then the faces of things."""
    faces = [
        where.frame.world(np.array([[a, b, where.front_z] for a in where.face[0] for b in where.face[1]]))
        for where in walls
    ]
    breaks = [
        [*(face[:, axis].min() for face in faces), *(face[:, axis].max() for face in faces)]
        for axis in range(3)
    ]
    for where in walls:
        inner = where.frame.world((where.box + _ENDS_M * np.array([1.0, -1.0])).T)
        breaks[where.frame.order[1]] += inner[:, where.frame.order[1]].tolist()
    breaks[0] += plan.corners[:, 0].tolist()
    breaks[2] += plan.corners[:, 1].tolist()
    lamps = [
        replace(lamp, corners=walls[0].frame.world(lamp.corners), normal=_turned(walls[0], lamp.normal))
        for lamp in walls[0].lamps
    ]

    def along(axis: int, sharp: list[list[float]]) -> Array:
        return lines(plan.box, lamps, axis, [*breaks[axis], *sharp[axis]], sharp[axis])

    floor, ceiling, plain = walls[0].reflectance
    found = []
    for side, at, reflectance in ((0, 0.0, floor), (1, plan.height, ceiling)):
        sharp = _bounds(plan.things, 1, at)
        x, z = along(0, sharp), along(2, sharp)
        middles = np.stack(np.meshgrid((x[1:] + x[:-1]) / 2, (z[1:] + z[:-1]) / 2, indexing="ij"), axis=-1)
        inside = inside_plan(plan.corners, middles.reshape(-1, 2)).reshape(middles.shape[:2])
        found.append((_bare(1, side, at, x, z), reflectance, inside))
    for start, end, inward in plan.edges:
        axis = 0 if abs(inward[0]) > 0.5 else 2
        sharp = _bounds(plan.things, axis, float(start[0 if axis == 0 else 1]))
        across, y = along(2 - axis, sharp), along(1, sharp)
        low, high = sorted((start, end), key=lambda corner: float(corner[1 if axis == 0 else 0]))
        ends = [corner[1 if axis == 0 else 0] for corner in (low, high)]
        own = across[(across > ends[0] - 1e-6) & (across < ends[1] + 1e-6)]
        at = float(start[0 if axis == 0 else 1])
        side = 0 if inward[0 if axis == 0 else 1] > 0 else 1
        first, second = (y, own) if axis == 0 else (own, y)
        plane = _bare(axis, side, at, first, second)
        found.append((plane, plain, np.ones(plane.patch.shape, dtype=bool)))
    for box in plan.things:
        found += _thing(box, plan, THING_REFLECTANCE)
    for box in plan.hanging:
        found += _thing(box, plan, 0.0)
    return found


def _bounds(things: Array, across: int, at: float) -> list[list[float]]:
    """Where the things near to a plane begin and end, along the three axes."""
    near = (things[:, 0, across] < at + _NEAR_M) & (things[:, 1, across] > at - _NEAR_M)
    found: list[list[float]] = [[], [], []]
    for group in touching(things[near]):
        things_of = things[near][group]
        for axis in range(3):
            found[axis] += [float(things_of[:, 0, axis].min()), float(things_of[:, 1, axis].max())]
    return found


def _turned(where: Site, normal: Array) -> Array:
    return where.frame.world(normal + np.array(where.frame.shift))


def _bare(axis: int, side: int, at: float, u: Array, v: Array) -> Plane:
    nothing = np.full((len(u) - 1, len(v) - 1), -1, dtype=np.intp)
    return Plane(axis=axis, side=side, at=at, u=u, v=v, patch=nothing, cell=nothing.copy())


def _thing(box: Array, plan: Plan, reflectance: float) -> list[Side]:
    """The faces of a box that do not lie on the room."""
    found = []
    for axis in range(3):
        first, second = (other for other in range(3) if other != axis)
        u, v = (
            np.linspace(
                box[0, other], box[1, other], 1 + max(1, round(float(np.ptp(box[:, other])) / _THING_CELL_M))
            )
            for other in (first, second)
        )
        for side in range(2):
            at = float(box[1 - side, axis])
            if abs(at - plan.box[axis, 1 - side]) < 0.005 or abs(at - plan.box[axis, side]) < 0.005:
                continue
            plane = _bare(axis, side, at, u, v)
            found.append((plane, reflectance, np.ones(plane.patch.shape, dtype=bool)))
    return found


def overlaps(lines_of: Array, low: float, high: float) -> Array:
    """Share of each interval between rising lines that lies in [low, high]."""
    inside = np.minimum(lines_of[1:], high) - np.maximum(lines_of[:-1], low)
    return np.asarray(np.maximum(inside, 0) / np.diff(lines_of))


def _lined(plane: Plane, where: Site, reflectance: float) -> Array:
    """What each cell of a wall's plane is made of (nu, nv, classes), by area: wall, skirting, trims, shadow
    gaps; and, of the light that falls into the recess beside the body, the share that meets the body's side.

    A strip from 0 to s beside a step of height d sends (s + d - hypot(s, d)) / 2 of its light there per
    length (crossed strings).
    """
    found = np.zeros((*plane.patch.shape, len(CLASSES)))
    found[..., ROOM] = reflectance
    for a0, b0, a1, b1, number in where.lining:
        part = np.outer(overlaps(plane.u, a0, a1), overlaps(plane.v, b0, b1))[..., None]
        found *= 1 - part
        found[..., int(number) : int(number) + 1] += part
    up = 0 if where.level else 1
    for edge, mix in enumerate(where.edges):
        axis, side = divmod(edge, 2)
        own, other = (plane.u, plane.v) if axis == 0 else (plane.v, plane.u)
        at = where.skirting[1] if axis == up and side == 0 and where.skirting is not None else 0.0
        deep = max(where.front_z - at, 1e-6)
        away = np.maximum((where.body[axis, 0] - own) if side == 0 else (own - where.body[axis, 1]), 0.0)
        sent = (away + deep - np.hypot(away, deep)) / 2
        part = np.abs(np.diff(sent)) / np.diff(own)
        along = overlaps(other, *where.body[1 - axis])
        share = (np.outer(part, along) if axis == 0 else np.outer(along, part))[..., None]
        found = found * (1 - share) + share * mix
    return found
