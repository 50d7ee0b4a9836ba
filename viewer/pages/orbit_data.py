"""What the page hands to the orbit view, shaped as static/js/orbit_data.js says. Metres, lux, cd/m2.

Colours go along for every candidate under every lighting, so that a change of choice asks the server nothing.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import linear_srgb
from finishes.appearance import Appearance
from finishes.catalogue import Catalogue
from meshes.layout.placed import SetOut
from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room
from meshes.surfaces import SURFACES

Floats = NDArray[np.float64]

CLEARANCE_M = 0.1
"""Every camera stays this far inside the room."""
CARD_REFLECTANCE = 0.9
"""White card that the exposure keeps below clipping."""
FACES: Mapping[str, tuple[int, int, int]] = {
    "down": (0, -1, 0),
    "up": (0, 1, 0),
    "left": (-1, 0, 0),
    "right": (1, 0, 0),
    "wall": (0, 0, -1),
    "room": (0, 0, 1),
}


def orbit_data(
    *,
    set_out: SetOut,
    room: Room,
    lightings: Sequence[Lighting],
    candidates: Sequence[tuple[str, Appearance]],
    catalogue: Catalogue,
    mesh: str,
    still: str,
    words: Mapping[str, str],
) -> dict[str, Any]:
    """Plain JSON values. ``candidates`` are (name, appearance) pairs; keys are their places in the lists."""
    width, height = float(set_out.wall_width) / 1000, float(set_out.wall_height) / 1000
    low = (
        -room.beyond_left_mm / 1000 + CLEARANCE_M,
        CLEARANCE_M,
        float(set_out.build_up.total) / 1000 + CLEARANCE_M,
    )
    high = (
        width + room.beyond_right_mm / 1000 - CLEARANCE_M,
        height - CLEARANCE_M,
        room.depth_mm / 1000 - CLEARANCE_M,
    )
    return {
        "mesh": mesh,
        "still": still,
        "surfaces": list(SURFACES),
        "words": dict(words),
        "space": {"min": low, "max": high},
        "views": _views(set_out, high[2]),
        "groove": _groove(set_out),
        "lightings": [
            _lighting(number, lighting, room, width, height) for number, lighting in enumerate(lightings)
        ],
        "candidates": [
            {
                "key": str(number),
                "name": name,
                "state": seen.state,
                "seed": number,
                "colours": {
                    str(place): colours(seen, room, lighting, catalogue)
                    for place, lighting in enumerate(lightings)
                },
            }
            for number, (name, seen) in enumerate(candidates)
        ],
    }


def colours(seen: Appearance, room: Room, lighting: Lighting, catalogue: Catalogue) -> dict[str, Any]:
    """Linear sRGB of each surface word, adapted to the lighting's mixed white; the room is grey."""
    weights = lighting_weights(lighting, catalogue)
    white = weights.sum(axis=0)
    palette = {}
    for word in SURFACES:
        if word.startswith("room_"):
            early = late = np.full(41, getattr(room.reflectance, word.removeprefix("room_")))
        else:
            early, late = seen.zones.get(word) or (seen.reflectance[word],) * 2
        palette[word] = {
            "early": _rounded(linear_srgb(early @ weights, white)),
            "late": _rounded(linear_srgb(late @ weights, white)),
            "late_share": seen.late_share,
        }
    return palette


def lighting_weights(lighting: Lighting, catalogue: Catalogue) -> Floats:
    """(41, 3) from reflectance to XYZ, Y = 1 for white, of all lamps together, by their lumens."""
    total = sum(lamp.lumens for lamp in lighting.lamps)
    mixed: Floats = np.zeros((41, 3))
    for lamp in lighting.lamps:
        mixed = mixed + catalogue.light(lamp.spectrum).weights * (lamp.lumens / total)
    return mixed


def _rounded(rgb: Floats) -> list[float]:
    return [round(float(value), 5) for value in np.maximum(rgb, 0.0)]


def _groove(set_out: SetOut) -> dict[str, Any]:
    face, upright = set_out.face, set_out.run == "upright"
    first = set_out.slats[0].extent
    build_up = set_out.build_up
    return {
        "upright": upright,
        "start_m": float(first.left if upright else first.bottom) / 1000,
        "slat_m": float(set_out.slat_width) / 1000,
        "gap_m": float(set_out.gap) / 1000,
        "depth_m": float(build_up.slat) / 1000,
        "face_m": [float(edge) / 1000 for edge in (face.left, face.bottom, face.right, face.top)],
        "fabric_z_m": float(build_up.fabric_face) / 1000,
        "front_z_m": float(build_up.total) / 1000,
    }


def _views(set_out: SetOut, farthest: float) -> dict[str, Any]:
    """Five cameras that a person would take; the front one widens to at most 75°, then shows the middle."""
    width, height = float(set_out.wall_width) / 1000, float(set_out.wall_height) / 1000
    front = float(set_out.build_up.total) / 1000
    x, y, aspect = width / 2, height / 2, 1.5
    need = max(height / 2, width / 2 / aspect) * 1.04
    away = min(farthest, front + need / np.tan(np.radians(21.0)))
    fov = min(75.0, 2 * float(np.degrees(np.arctan(need / (away - front)))))
    eye = min(1.6, height * 0.63)
    detail = (x, min(1.35, height / 2), front)
    return {
        "front": _view((x, y, away), (x, y, front), fov, aspect),
        "seated": _view((x, min(1.15, eye), min(2.6, farthest)), (x, min(1.15, eye), front), 55.0, aspect),
        "left": _view((0.15 * width, eye, min(1.7, farthest)), (0.62 * width, y, front), 55.0, aspect),
        "right": _view((0.85 * width, eye, min(1.7, farthest)), (0.38 * width, y, front), 55.0, aspect),
        "close": _view((x - 0.25, detail[1], front + 0.8), detail, 42.0, aspect),
    }


def _view(
    position: tuple[float, float, float], target: tuple[float, float, float], fov_deg: float, aspect: float
) -> dict[str, Any]:
    return {"position": position, "target": target, "vertical_fov_deg": fov_deg, "aspect": aspect}


def _lighting(number: int, lighting: Lighting, room: Room, width: float, height: float) -> dict[str, Any]:
    lumens = sum(lamp.lumens for lamp in lighting.lamps)
    wide, deep = width + (room.beyond_left_mm + room.beyond_right_mm) / 1000, room.depth_mm / 1000
    areas = {"floor": wide * deep, "ceiling": wide * deep, "walls": 2 * height * (wide + deep)}
    given = room.reflectance
    mean = sum(area * getattr(given, word) for word, area in areas.items()) / sum(areas.values())
    # one-value room (Ulbricht's sphere, E = flux / area * mean / (1 - mean)): part of the first shading only
    ambient = lumens / sum(areas.values()) * mean / (1 - mean)
    lamps = [_rectangle(lamp) for lamp in lighting.lamps]
    middle = np.array([width / 2, height / 2, 0.1])
    direct = sum(_lambert(np.array(lamp["corners"]), middle) * lamp["luminance"] for lamp in lamps)
    return {
        "key": str(number),
        "name": lighting.name,
        "lamps": lamps,
        "ambient": round(ambient, 3),
        "exposure": 0.9 * np.pi / (CARD_REFLECTANCE * (direct + ambient)),
    }


def _rectangle(lamp: Lamp) -> dict[str, Any]:
    """Corners in order round the face, seen from its bright side against the clock, and its luminance."""
    normal = np.array(FACES[lamp.faces] if isinstance(lamp.faces, str) else lamp.faces, dtype=np.float64)
    normal /= np.linalg.norm(normal)
    centre = np.array(lamp.centre_mm) / 1000
    first, second = (side / 2000 for side in lamp.size_mm)
    # size_mm: along x and the other; for lamps that face left or right along z and y
    u = np.array([0.0, 0.0, 1.0]) if abs(normal[0]) > 0.7 else np.array([1.0, 0.0, 0.0])
    u -= normal * (u @ normal)
    u /= np.linalg.norm(u)
    v = np.cross(normal, u)
    signs = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    corners = [centre + a * first * u + b * second * v for a, b in signs]
    area = 4 * first * second
    return {
        "corners": [[round(float(value), 5) for value in corner] for corner in corners],
        "luminance": lamp.lumens / (np.pi * area),
    }


def _lambert(corners: Floats, point: Floats) -> float:
    """Irradiance per luminance at a point that faces the room, by the lamp's middle: for the exposure."""
    middle = corners.mean(axis=0) - point
    u, v = corners[1] - corners[0], corners[3] - corners[0]
    normal = np.cross(u, v)
    distance = float(np.linalg.norm(middle))
    seen = max(0.0, middle[2] / distance) * max(0.0, -float(normal @ middle) / distance)
    return float(seen / distance**2)
