"""A camera given as JSON, and whether a camera stands where one can stand."""

import json
import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from meshes.solids.quads import UNSEEN, Floats
from meshes.solids.room import inside_plan
from meshes.solids.scene import Scene

CLEAR_OF_ROOM_M = 0.1
"""Every camera stays this far inside the room."""


class ViewError(ValueError):
    """A view that cannot be taken. ``problems`` are (path, message) pairs, all of them."""

    def __init__(self, problems: list[tuple[str, str]]) -> None:
        super().__init__("; ".join(f"{path}: {message}" for path, message in problems))
        self.problems = problems


def read_camera(view: str | Mapping[str, Any]) -> tuple[Floats, float]:
    """world_from_camera (4, 4) [m] and vertical field [degrees]; raises ViewError with every problem."""
    if isinstance(view, str):
        try:
            view = json.loads(view)
        except ValueError as error:
            raise ViewError([("view", f"not JSON: {error}")]) from None
    assert isinstance(view, Mapping)
    problems: list[tuple[str, str]] = []
    known = {"world_from_camera", "vertical_fov_deg", "width", "height"}
    for key in sorted(set(view) - known):
        if not key.startswith("_"):
            problems.append((f"view.{key}", f"unknown; accepted: {', '.join(sorted(known))}"))
    matrix = _matrix(view.get("world_from_camera"), problems)
    fov = view.get("vertical_fov_deg")
    if isinstance(fov, bool) or not isinstance(fov, int | float) or not 1 <= fov <= 120:
        problems.append(("view.vertical_fov_deg", "expected a number from 1 to 120 degrees"))
    if problems:
        raise ViewError(problems)
    assert isinstance(fov, int | float)
    return matrix, float(fov)


def _matrix(rows: Any, problems: list[tuple[str, str]]) -> Floats:
    path = "view.world_from_camera"
    try:
        matrix = np.array(rows, dtype=np.float64)
    except (TypeError, ValueError):
        matrix = np.zeros(0)
    if matrix.size != 16 or not np.isfinite(matrix).all():
        problems.append((path, "expected four rows of four numbers, in metres"))
        return np.eye(4)
    matrix = matrix.reshape(4, 4)
    turn = matrix[:3, :3]
    rigid = np.allclose(turn @ turn.T, np.eye(3), atol=1e-6) and np.linalg.det(turn) > 0
    if not rigid or not np.allclose(matrix[3], [0, 0, 0, 1]):
        problems.append(
            (path, "expected a turn and a shift only: orthonormal, right-handed, last row 0 0 0 1")
        )
    return matrix


def check_place(eye: Floats, scene: Scene) -> None:
    """Raises ViewError for an eye (3,) [m] outside the room, too near its sides, or inside a solid."""
    margin = inside_by(eye, scene)
    if margin < CLEAR_OF_ROOM_M - 1e-9:
        how = f"{margin * 1000:.0f} mm inside" if margin >= 0 else f"{-margin * 1000:.0f} mm outside"
        raise ViewError(
            [("view", f"the camera stands {how} the room; it must stay at least 100 mm inside on every side")]
        )
    for part in scene.parts:
        if part.wall >= 0 and _encloses(part.faces.corners[part.faces.surfaces != UNSEEN], part.mesh, eye):
            raise ViewError([("view", f"the camera stands inside {part.name}")])


def inside_by(eye: Floats, scene: Scene) -> float:
    """How far the eye stands inside the room [m]; below 0 outside, by the distance to the nearest side."""
    start, end = scene.plan, np.roll(scene.plan, -1, axis=0)
    along = end - start
    at = np.clip(((eye[[0, 2]] - start) * along).sum(1) / (along**2).sum(1), 0, 1)[:, None]
    aside = float(np.linalg.norm(start + at * along - eye[[0, 2]], axis=1).min())
    if not inside_plan(scene.plan, eye[None, [0, 2]])[0]:
        aside = -aside
    return min(aside, float(eye[1]), scene.height - float(eye[1]))


def _encloses(corners: Floats, mesh: Any, eye: Floats) -> bool:
    low, high = corners.reshape(-1, 3).min(axis=0), corners.reshape(-1, 3).max(axis=0)
    if not ((eye > low) & (eye < high)).all():
        return False
    return bool(_winding(np.asarray(mesh.triangles), eye) > 0.5)


def _winding(triangles: Floats, point: Floats) -> float:
    """Solid angle of a closed surface seen from a point, over 4 pi: 1 inside, 0 outside.

    Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30(2):125 (1983), eq. 8.
    """
    a, b, c = (triangles[:, k] - point for k in range(3))
    la, lb, lc = (np.linalg.norm(v, axis=1) for v in (a, b, c))
    top = (a * np.cross(b, c)).sum(axis=1)
    bottom = la * lb * lc + (a * b).sum(1) * lc + (a * c).sum(1) * lb + (b * c).sum(1) * la
    return float(np.abs(2 * np.arctan2(top, bottom).sum()) / (4 * math.pi))
