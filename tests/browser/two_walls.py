"""A small job of two walls round a corner, and cameras in front of each, as pages and as stills take them."""

import json
from typing import Any
from urllib.request import Request, urlopen

import numpy as np

Point = tuple[float, float, float]

FIELD_DEG = 50.0
ASPECT = 1.5

JOB: dict[str, Any] = {
    "name": "Niche, two walls",
    "wall": {"width_mm": 1500, "height_mm": 2200, "skirting_mm": 90, "skirting_projection_mm": 15},
    "next_walls": [
        {
            "turns": "inside",
            "wall": {"width_mm": 1300, "height_mm": 2200, "skirting_mm": 90, "skirting_projection_mm": 15},
            "openings": [
                {"kind": "socket", "left_mm": 700, "bottom_mm": 400, "width_mm": 150, "height_mm": 86}
            ],
        }
    ],
    "zones": [{"kind": "hidden", "left_mm": 150, "bottom_mm": 0, "width_mm": 800, "height_mm": 500}],
    "slats": {"width_mm": 44, "depth_mm": 20, "gap_mm": 14},
    "room": {"depth_mm": 3000, "beyond_left_mm": 600, "beyond_right_mm": 500},
    "finish": {"timber": "European ash", "stain": "walnut", "coats": 1, "topcoat": "oil"},
    "lightings": [
        {
            "name": "both",
            "lamps": [
                {
                    "name": "window",
                    "centre_mm": [-595, 1300, 1900],
                    "size_mm": [1200, 1200],
                    "faces": "right",
                    "lumens": 9000,
                    "spectrum": "D65",
                },
                {
                    "name": "panel",
                    "centre_mm": [500, 2190, 900],
                    "size_mm": [400, 400],
                    "faces": "down",
                    "lumens": 1800,
                    "spectrum": "LED-B2",
                },
            ],
        }
    ],
}


def keep(site: str) -> str:
    """Address of the job's page, once a running application keeps the job."""
    asked = Request(f"{site}/api/jobs", json.dumps(JOB).encode(), {"Content-Type": "application/json"})
    with urlopen(asked) as answer:
        return f"{site}/jobs/{json.load(answer)['id']}/"


def seen_from(
    eye: tuple[float, float, float], target: tuple[float, float, float]
) -> tuple[dict[str, Any], str]:
    """A camera as ``View`` of static/js/types.d.ts, and as the JSON that a still takes [m]."""
    back = np.subtract(eye, target)
    back /= np.linalg.norm(back)
    right = np.cross([0.0, 1.0, 0.0], back)
    right /= np.linalg.norm(right)
    matrix = np.eye(4)
    matrix[:3] = np.column_stack([right, np.cross(back, right), back, eye])
    view = {"position": eye, "target": target, "vertical_fov_deg": FIELD_DEG, "aspect": ASPECT}
    return view, json.dumps({"world_from_camera": matrix.tolist(), "vertical_fov_deg": FIELD_DEG})
