"""The closed room round the walls: plan of the walls round corners, floor, ceiling and inward faces.

Plan of two walls at an inside corner (z towards the reader's feet, the room between them)::

    back  0 ------------- W1+0       wall 1 along +x, out of the wall = +z
          |               |
          |               |  wall 2 along +z, out of the wall = -x
          +---------------+
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Literal, Protocol

import numpy as np

from meshes.layout.setout import SetOut
from meshes.solids.quads import Floats, Quads, joined
from meshes.solids.section import metres
from meshes.surfaces import SURFACE_ID

Turn = Literal["inside", "outside"]
Faces = dict[str, Quads]

_HAIR_M = 5e-4

_TURNED = {
    # columns: the next wall's x, y, z in the frame of the wall before it
    "inside": np.array([[0, 0, -1], [0, 1, 0], [1, 0, 0]], dtype=np.float64),
    "outside": np.array([[0, 0, 1], [0, 1, 0], [-1, 0, 0]], dtype=np.float64),
}

WALL_NAMES = {(0, 1): "room/back", (1, 0): "room/left", (-1, 0): "room/right", (0, -1): "room/front"}
"""Node name of a room wall by the (x, z) direction in which it faces the room."""


class RoomBox(Protocol):
    """What is needed of the job's room [mm]."""

    @property
    def depth_mm(self) -> float: ...
    @property
    def beyond_left_mm(self) -> float: ...
    @property
    def beyond_right_mm(self) -> float: ...


def widths(set_outs: Sequence[SetOut]) -> list[float]:
    """Of each wall, from corner to corner [m]."""
    return [metres(one.wall_width) for one in set_outs]


def frames(wide: Sequence[float], turns: Sequence[Turn]) -> tuple[Floats, ...]:
    """``world_from_wall`` (4, 4) [m] of walls so wide [m]; the first is the identity.

    Raises ValueError unless there is one turn fewer than walls.
    """
    if len(turns) != len(wide) - 1:
        raise ValueError(f"turns: {len(wide)} walls need {len(wide) - 1} turns, got {len(turns)}")
    found = [np.eye(4)]
    for width, turn in zip(wide, turns, strict=False):
        before = found[-1]
        after = np.eye(4)
        after[:3, :3] = before[:3, :3] @ _TURNED[turn]
        after[:3, 3] = before[:3, :3] @ [width, 0, 0] + before[:3, 3]
        found.append(after)
    return tuple(found)


def footprint(wide: Sequence[float], turns: Sequence[Turn], room: RoomBox) -> Floats:
    """Corners (n, 2) of the room's plan as (x, z) [m], starting at the left end of the first wall's plane.
    wide : of each wall [m].

    The set-out walls follow each other; the plan is closed at the depth of the room. Consecutive corners
    differ in one coordinate only; the room lies on the side towards which the walls face.
    """
    placed = frames(wide, turns)
    path = [np.array([-room.beyond_left_mm / 1000, 0.0])]
    for index, (length, frame) in enumerate(zip(wide, placed, strict=True)):
        more = room.beyond_right_mm / 1000 if index == len(wide) - 1 else 0.0
        path.append((frame[:3, :3] @ [length + more, 0, 0] + frame[:3, 3])[[0, 2]])
    turned = sum(1 if turn == "inside" else -1 for turn in turns)
    return _closed(path, room.depth_mm / 1000, turned)


def _closed(path: list[Floats], depth: float, turned: int) -> Floats:
    """Close the walls' path (x, z) by plain walls; ``turned`` counts inside corners less outside corners."""
    first, last = path[0], path[-1]
    deepest = max(float(corner[1]) for corner in path)
    if turned == 0:  # the last wall faces as the first does
        far = deepest + depth
        return np.array([*path, [last[0], far], [first[0], far]])
    if turned == 1:  # the room is at least as deep as the wall that comes forward
        far = max(deepest, depth)
        return np.array([*path[:-1], [last[0], far], [first[0], far]])
    if turned == 2:  # the last wall stands opposite the first
        left = min(first[0], last[0])
        return np.array([[left, first[1]], *path[1:-1], [left, last[1]]])
    if turned == -1:
        right, far = last[0] + depth, deepest + depth
        return np.array([*path, [right, last[1]], [right, far], [first[0], far]])
    raise ValueError("turns: at most two more inside than outside corners, or one more outside than inside")


def free(plan: Floats, place: Floats, way: Floats) -> float:
    """How far one can go from a place (x, z) until a side of the plan that faces the other way [m]; infinite
    where none does. plan : (n, 2) as ``footprint`` gives it; way : x and z of a direction of length 1.
    """
    found = np.inf
    for start, end in zip(plan, np.roll(plan, -1, axis=0), strict=True):
        side = end - start
        along = side / np.hypot(*side)
        towards = float(-along[1] * way[0] + along[0] * way[1])
        if towards > -1e-9:
            continue
        away = float(np.array([-along[1], along[0]]) @ (start - place)) / towards
        met = float((place + away * way - start) @ along)
        if away > -_HAIR_M and -_HAIR_M <= met <= np.hypot(*side):
            found = min(found, away)
    return float(found)


def room_faces(plan: Floats, height: float) -> Faces:
    """The faces of a plumb and level room by node name, all looking inward. plan : (n, 2) (x, z) [m]."""
    found: dict[str, list[Quads]] = {}
    for start, end in zip(plan, np.roll(plan, -1, axis=0), strict=True):
        along = end - start
        inward = np.array([-along[1], along[0]]) / np.hypot(*along)
        name = WALL_NAMES[(round(float(inward[0])), round(float(inward[1])))]
        (x0, z0), (x1, z1) = start.tolist(), end.tolist()
        ring = [[x0, 0, z0], [x1, 0, z1], [x1, height, z1], [x0, height, z0]]
        found.setdefault(name, []).append(face(ring, "room_walls"))
    tiles = _tiles(plan)
    for x0, z0, x1, z1 in tiles:
        ring = [[x0, z1], [x1, z1], [x1, z0], [x0, z0]]
        found.setdefault("room/floor", []).append(face([[x, 0, z] for x, z in ring], "room_floor"))
        above = [[x, height, z] for x, z in reversed(ring)]
        found.setdefault("room/ceiling", []).append(face(above, "room_ceiling"))
    return {name: joined(faces) for name, faces in found.items()}


def face(ring: Sequence[Sequence[float]], word: str) -> Quads:
    """One plane face; its four corners run anticlockwise seen from the side that it faces."""
    corners = np.array([ring], dtype=np.float64)
    normal = np.cross(corners[0, 1] - corners[0, 0], corners[0, 2] - corners[0, 0])
    return Quads(
        corners=corners,
        normals=normal[None] / np.linalg.norm(normal),
        surfaces=np.array([SURFACE_ID[word]], np.uint8),
    )


def _tiles(plan: Floats) -> list[tuple[float, float, float, float]]:
    """Rectangles (x0, z0, x1, z1) that tile a plan whose sides run along x and z."""
    xs, zs = np.unique(plan[:, 0]), np.unique(plan[:, 1])
    return [
        (float(x0), float(z0), float(x1), float(z1))
        for x0, x1 in pairwise(xs)
        for z0, z1 in pairwise(zs)
        if inside_plan(plan, np.array([[(x0 + x1) / 2, (z0 + z1) / 2]]))[0]
    ]


def inside_plan(plan: Floats, points: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Even-odd rule: which points (n, 2) (x, z) lie inside the plan."""
    start, end = plan, np.roll(plan, -1, axis=0)
    x, z = points[:, 0:1], points[:, 1:2]
    rise = end[:, 1] - start[:, 1]
    crosses = (start[:, 1] <= z) != (end[:, 1] <= z)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = start[:, 0] + (z - start[:, 1]) / rise * (end[:, 0] - start[:, 0])
    return np.asarray((crosses & (x < at)).sum(axis=1) % 2 == 1)
