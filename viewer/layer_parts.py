"""What the layers of a view depend on, as arrays: by their hash a folder of light keeps them."""

import json
from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshes import grain
from meshes.light.lamps import Lighting
from meshes.light.store import transport_key
from meshes.solids.scene import Scene, prop_boxes
from meshes.stems import Figure
from meshes.stills.camera import Camera
from meshes.stills.coating import Coat
from viewer.frame import Frame
from viewer.job.model import Job
from viewer.plates import plate_numbers


def layer_parts(
    job: Job,
    scene: Scene,
    seen_from: Camera,
    frame: Frame,
    lighting: Lighting,
    figure: Figure | None,
    coat: Coat | None,
) -> dict[str, NDArray[Any]]:
    """Arrays by name: the solids, where they are seen from, the light's key, how timber grows, its coat.

    Nothing of a finish's colours is among them: whatever is chosen, the layers stay.
    """
    words = {
        "light": transport_key(scene.set_outs, job.room, lighting, prop_boxes(scene)),
        "size": [frame.width, frame.height],
        "field_deg": seen_from.vertical_fov_deg,
        "figure": {**asdict(figure), "version": grain.VERSION} if figure else None,
        "coat": asdict(coat) if coat else None,
    }
    return {
        "corners": scene.faces.corners,
        "surfaces": scene.faces.surfaces,
        "part_of": scene.part_of,
        "slats": np.array([(part.slat, part.wall) for part in scene.parts]),
        "plates": plate_numbers(scene),
        "world_from_camera": seen_from.world_from_camera,
        "words": np.frombuffer(json.dumps(words, sort_keys=True).encode(), np.uint8),
    }
