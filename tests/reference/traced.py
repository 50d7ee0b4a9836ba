"""A case as the path tracer sees it."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes.stills.reference import trace
from reference.scenes import HEIGHT, WIDTH, Case


def traced(
    case: Case, samples: int, *, width: int = WIDTH, height: int = HEIGHT, **more: Any
) -> NDArray[np.float32]:
    """XYZ (height, width, 3) [cd/m2]; ``more``: of ``trace``."""
    given = {"reflectance": case.reflectance, **more}
    scene = case.scene
    return trace(
        scene,
        case.camera(scene),
        case.room,
        case.lighting,
        lamp_spd=case.spd,
        width=width,
        height=height,
        samples=samples,
        **given,
    )
