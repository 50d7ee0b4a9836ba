"""Where a picture is taken from: the named views of a set-out wall, or a camera given as JSON."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from meshes.solids.quads import Floats
from meshes.solids.scene import Scene
from meshes.solids.section import corners_m, metres
from meshes.stills.given import CLEAR_OF_ROOM_M, ViewError, check_place, read_camera

VIEWS = ("front", "seated", "left", "right", "close")
"""The views that every job has. Walls round corners add one each: see ``views``."""

WIDEST_DEG = 75.0
"""The front view widens to this field, across or up; beyond it stretches what it shows too much."""

_USUAL_DEG = 50.0
_MARGIN = 1.04
_SEATED_EYE_M = 1.2
_STANDING_EYE_M = 1.55
_DETAIL_M = 1.0


@dataclass(frozen=True, kw_only=True)
class Camera:
    """``world_from_camera`` : (4, 4) [m], looking down -z, y up; ``note`` says what a view leaves out."""

    world_from_camera: Floats
    vertical_fov_deg: float
    note: str = ""

    @property
    def eye(self) -> Floats:
        """(3,) [m]."""
        return self.world_from_camera[:3, 3]

    def focal_px(self, height: int) -> float:
        """Focal length of a picture ``height`` pixels high [px]."""
        return height / 2 / math.tan(math.radians(self.vertical_fov_deg) / 2)

    def described(self, width: int, height: int) -> dict[str, Any]:
        """The camera as written beside a picture: row-major matrix in metres, field in degrees, size."""
        return {
            "world_from_camera": self.world_from_camera.tolist(),
            "vertical_fov_deg": self.vertical_fov_deg,
            "width": width,
            "height": height,
        }


def views(walls: int) -> tuple[str, ...]:
    """The named views of a job with so many walls: ``wall-2`` is the second one from straight before it."""
    return (*VIEWS, *(f"wall-{number}" for number in range(2, walls + 1)))


def camera(view: str | Mapping[str, Any], scene: Scene, aspect: float) -> Camera:
    """The camera of a view: one of ``views``, JSON text, or the parsed JSON of a camera.

    aspect : width / height. Raises ViewError for an unknown name, a malformed camera, or one that stands
    outside the room, within 100 mm of it, or inside a solid.
    """
    if isinstance(view, str) and not view.lstrip().startswith("{"):
        known = views(len(scene.set_outs))
        if view not in known:
            raise ViewError([("view", f"{view!r} is not one of {', '.join(known)}, nor a camera as JSON")])
        found = (
            _NAMED[view](scene, aspect)
            if view in _NAMED
            else _front(scene, aspect, known.index(view) - len(VIEWS) + 1)
        )
    else:
        matrix, fov = read_camera(view)
        found = Camera(world_from_camera=matrix, vertical_fov_deg=fov)
    check_place(found.eye, scene)
    return found


# ---- the named views: all but that of a further wall stand before the first, whose frame is the world's


def _front(scene: Scene, aspect: float, wall: int = 0) -> Camera:
    """A whole wall from straight before its middle; worked out in that wall's own frame."""
    set_out = scene.set_outs[wall]
    width, face = metres(set_out.wall_width), metres(set_out.build_up.total)
    height, far = scene.height, _open_before(scene, wall) - CLEAR_OF_ROOM_M
    need = max(height, width / aspect) * _MARGIN / 2  # half the height that the picture must show
    away = min(need * max(aspect, 1.0) / math.tan(_half(_USUAL_DEG)), far - face)
    tangent = need / away
    limit = math.tan(_half(WIDEST_DEG)) / max(aspect, 1.0)
    note = ""
    if tangent > limit:
        tangent = limit
        across = 2 * tangent * aspect * away
        what, shown = ("wall", across) if across < width else ("height", across / aspect)
        note = f"The room is too shallow to show the whole {what}: this is its middle {shown:.1f} m."
    eye = np.array([width / 2, height / 2, face + away])
    return Camera(
        world_from_camera=scene.frames[wall] @ _looking(eye, eye - [0, 0, 1]),
        vertical_fov_deg=math.degrees(2 * math.atan(tangent)),
        note=note,
    )


def _open_before(scene: Scene, wall: int) -> float:
    """How far the room goes on before the middle of a wall, from its plane [m]."""
    middle = metres(scene.set_outs[wall].wall_width) / 2
    corners = np.column_stack([scene.plan[:, 0], np.zeros(len(scene.plan)), scene.plan[:, 1]])
    frame = scene.frames[wall]
    start = (corners - frame[:3, 3]) @ frame[:3, :3]
    end = np.roll(start, -1, axis=0)
    crossing = (np.minimum(start[:, 0], end[:, 0]) <= middle) & (middle < np.maximum(start[:, 0], end[:, 0]))
    one, other = start[crossing], end[crossing]
    share = (middle - one[:, 0]) / (other[:, 0] - one[:, 0])
    away = one[:, 2] + share * (other[:, 2] - one[:, 2])
    return float(away[away > CLEAR_OF_ROOM_M].min())


def _seated(scene: Scene, aspect: float) -> Camera:
    width, height, face, far = _measures(scene)
    away = min(far, max(face + 0.5, 0.72 * far))
    x = min(max(width * 0.62, _left(scene)), _right(scene))
    eye = np.array([x, min(_SEATED_EYE_M, height - CLEAR_OF_ROOM_M), away])
    return Camera(
        world_from_camera=_looking(eye, np.array([width * 0.45, eye[1], face])),
        vertical_fov_deg=_vertical(62.0, aspect),
    )


def _raking(scene: Scene, aspect: float, from_left: bool) -> Camera:
    width, height, face, far = _measures(scene)
    away = min(far, face + 1.1)
    x = _left(scene) + 0.25 if from_left else _right(scene) - 0.25
    x = min(max(x, _left(scene)), _right(scene))
    target = width * (0.55 if from_left else 0.45)
    if abs(target - x) < 0.3:
        target = _right(scene) if from_left else _left(scene)
    eye = np.array([x, min(_STANDING_EYE_M, height - CLEAR_OF_ROOM_M), away])
    return Camera(
        world_from_camera=_looking(eye, np.array([target, min(1.3, height / 2), face])),
        vertical_fov_deg=_vertical(65.0, aspect),
    )


def _close(scene: Scene, aspect: float) -> Camera:
    """A metre across at the slats' face, from a little to the right, so that one side of each slat shows."""
    _, height, face, far = _measures(scene)
    left, bottom, right, top = corners_m(scene.set_outs[0].face)
    field = 40.0
    away = min(far - face, _DETAIL_M / 2 / math.tan(_half(field)))
    target = np.array([(left + right) / 2, min(max(1.3, bottom), (bottom + top) / 2 + 0.4), face])
    aside = min(0.35 * away, _right(scene) - target[0])
    straight = math.sqrt(max(away**2 - aside**2, 1e-6))
    eye = target + np.array([aside, 0, straight])
    eye[1] = min(max(eye[1], CLEAR_OF_ROOM_M), height - CLEAR_OF_ROOM_M)
    across = 2 * math.degrees(math.atan(_DETAIL_M / 2 / away))
    return Camera(
        world_from_camera=_looking(eye, np.array([target[0], eye[1], face])),
        vertical_fov_deg=_vertical(min(across, WIDEST_DEG), aspect),
    )


_NAMED = {
    "front": _front,
    "seated": _seated,
    "left": lambda scene, aspect: _raking(scene, aspect, True),
    "right": lambda scene, aspect: _raking(scene, aspect, False),
    "close": _close,
}


def _measures(scene: Scene) -> tuple[float, float, float, float]:
    """Width, height, slat face and farthest place of a camera in front of the first wall [m]."""
    first = scene.set_outs[0]
    far = float(scene.plan[:, 1].max()) - CLEAR_OF_ROOM_M
    return metres(first.wall_width), scene.height, metres(first.build_up.total), far


def _left(scene: Scene) -> float:
    return float(scene.plan[0, 0]) + CLEAR_OF_ROOM_M


def _right(scene: Scene) -> float:
    return float(scene.plan[1, 0]) - CLEAR_OF_ROOM_M


def _half(degrees: float) -> float:
    return math.radians(degrees) / 2


def _vertical(across_deg: float, aspect: float) -> float:
    """Vertical field for a horizontal one; an upright picture takes the field as its height's."""
    if aspect < 1:
        return across_deg
    return math.degrees(2 * math.atan(math.tan(_half(across_deg)) / aspect))


def _looking(eye: Floats, target: Floats) -> Floats:
    """(4, 4) world_from_camera, upright."""
    back = (eye - target) / np.linalg.norm(eye - target)
    right = np.cross([0.0, 1.0, 0.0], back)
    right /= np.linalg.norm(right)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = right, np.cross(back, right), back, eye
    return matrix
