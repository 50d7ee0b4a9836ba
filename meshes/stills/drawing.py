"""What is to be drawn, and how a sample of a pixel becomes the place where OpenGL looks."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """Faces as the camera sees them, and the picture plane.

    corners : (n, 4, 3) float32 [m], camera frame (x right, y up, looking down -z), anticlockwise outside;
    focal_px : focal length in pixels; near, far : [m] of the depth range; rows : first row and row after the
    last of a picture ``height`` rows high; offsets : (x, y) of each sample in its pixel, from the top left.
    """

    corners: NDArray[np.float32]
    width: int
    height: int
    rows: tuple[int, int]
    focal_px: float
    near: float
    far: float
    offsets: Sequence[tuple[float, float]]


def clip_from_camera(drawing: Drawing, offset: tuple[float, float]) -> NDArray[np.float32]:
    """(4, 4) perspective that moves the sample at ``offset`` of each pixel to the pixel's middle.

    Column u and row v of a point (x, y, z) are u = width/2 - f x/z and v = height/2 + f y/z; OpenGL looks at
    u' = u + 1/2 - offset_x, v' likewise, of the rows that are drawn, upside down.
    """
    first, after = drawing.rows
    rows = after - first
    near, far = drawing.near, drawing.far
    matrix = np.zeros((4, 4))
    matrix[0, 0] = 2 * drawing.focal_px / drawing.width
    matrix[0, 2] = -(1 - 2 * offset[0]) / drawing.width
    matrix[1, 1] = 2 * drawing.focal_px / rows
    matrix[1, 2] = (drawing.height - 2 * first - rows + 1 - 2 * offset[1]) / rows
    matrix[2, 2] = -(far + near) / (far - near)
    matrix[2, 3] = -2 * far * near / (far - near)
    matrix[3, 2] = -1
    return matrix.astype(np.float32)
