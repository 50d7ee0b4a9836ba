"""What the page hands to the orbit view, shaped as static/js/orbit_data.js says. Metres, lux, cd/m2.

Colours go along for every candidate under every lighting, so that a change of choice asks the server nothing.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import linear_srgb
from finishes.appearance import Appearance
from finishes.choice import Finish
from meshes.layout.placed import SetOut
from meshes.light.lamps import Lamp, Lighting
from meshes.light.room import Room
from meshes.light.site import lamp_corners, lamp_luminance
from meshes.stills.camera import VIEWS, Camera, camera
from meshes.surfaces import SURFACES
from viewer.figure import figure_of
from viewer.light import mixed_weights
from viewer.pages.orbit_figure import figure_json
from viewer.picture import Studio

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Floats = NDArray[np.float64]

CLEARANCE_M = 0.1
"""Every camera stays this far inside the room."""
CARD_REFLECTANCE = 0.9
"""White card that the exposure keeps below clipping."""
ASPECT = 1.5
"""Width over height of the page's picture and of its stills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Addresses:
    """Where the orbit view finds its parts; ``light`` has one address a lighting."""

    mesh: str
    figure: str
    still: str
    light: Sequence[str]


def orbit_data(
    *,
    studio: Studio,
    lightings: Sequence[Lighting],
    candidates: Sequence[tuple[str, Finish]],
    addresses: Addresses,
    words: Mapping[str, str],
) -> dict[str, Any]:
    """Plain JSON values. ``candidates`` are (name, finish) pairs; keys are their places in the lists."""
    set_out, room, catalogue = studio.scene.set_outs[0], studio.job.room, studio.catalogue
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
    looks = [(name, finish, studio.appearance(finish)) for name, finish in candidates]
    return {
        "mesh": addresses.mesh,
        "still": addresses.still,
        "figure": addresses.figure,
        "surfaces": list(SURFACES),
        "words": dict(words),
        "space": {"min": low, "max": high},
        "views": {name: _view(camera(name, studio.scene, ASPECT), low[2]) for name in VIEWS},
        "groove": _groove(set_out),
        "slats": _slats(set_out),
        "lightings": [
            {
                **_lighting(lighting, room, width, height),
                "key": str(number),
                "name": lighting.name,
                "light": addresses.light[number],
            }
            for number, lighting in enumerate(lightings)
        ],
        "candidates": [
            {
                "key": str(number),
                "name": name,
                "state": seen.state,
                "figure": figure_json(figure_of(finish, catalogue)),
                "spectra": _spectra(seen, figured=figure_of(finish, catalogue) is not None),
                "colours": {
                    str(place): colours(seen, room, lighting, catalogue)
                    for place, lighting in enumerate(lightings)
                },
            }
            for number, (name, finish, seen) in enumerate(looks)
        ],
    }


def _spectra(seen: Appearance, *, figured: bool) -> dict[str, Any]:
    """41 values a surface, and both zones of figured wood; the room's are the light's own."""
    return {
        "reflectance": {word: _rounded(values) for word, values in seen.reflectance.items()},
        "zones": {word: [_rounded(zone) for zone in zones] for word, zones in seen.zones.items() if figured},
    }


def _slats(set_out: SetOut) -> list[tuple[float, float]]:
    """Middle across and start along of each slat [m], as the figure counts its places."""
    upright = set_out.run == "upright"
    found = []
    for slat in set_out.slats:
        x, y = (slat.extent.left + slat.extent.right) / 2000, slat.extent.bottom / 1000
        if not upright:
            x, y = (slat.extent.bottom + slat.extent.top) / 2000, slat.extent.left / 1000
        found.append((round(float(x), 6), round(float(y), 6)))
    return found


def colours(seen: Appearance, room: Room, lighting: Lighting, catalogue: "Catalogue") -> dict[str, Any]:
    """Linear sRGB of each surface word, adapted to the lighting's mixed white; the room is grey."""
    weights = mixed_weights(lighting, catalogue)
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


def _view(seen: Camera, nearest_z: float) -> dict[str, Any]:
    """A camera of the stills as a place and a point to turn about: where its axis meets the slats' face."""
    forward, eye = -seen.world_from_camera[:3, 2], seen.eye
    away = (eye[2] - nearest_z + CLEARANCE_M) / max(-forward[2], 0.15)
    return {
        "position": [float(value) for value in eye],
        "target": [float(value) for value in eye + forward * max(away, 0.3)],
        "vertical_fov_deg": seen.vertical_fov_deg,
        "aspect": ASPECT,
    }


def _lighting(lighting: Lighting, room: Room, width: float, height: float) -> dict[str, Any]:
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
        "lamps": lamps,
        "ambient": round(ambient, 3),
        "exposure": 0.9 * np.pi / (CARD_REFLECTANCE * (direct + ambient)),
    }


def _rectangle(lamp: Lamp) -> dict[str, Any]:
    """Corners in order round the face, and its luminance."""
    corners = [[round(float(value), 5) for value in corner] for corner in lamp_corners(lamp)]
    return {"corners": corners, "luminance": lamp_luminance(lamp)}


def _lambert(corners: Floats, point: Floats) -> float:
    """Irradiance per luminance at a point that faces the room, by the lamp's middle: for the exposure."""
    middle = corners.mean(axis=0) - point
    u, v = corners[1] - corners[0], corners[3] - corners[0]
    normal = np.cross(u, v)
    distance = float(np.linalg.norm(middle))
    seen = max(0.0, middle[2] / distance) * max(0.0, -float(normal @ middle) / distance)
    return float(seen / distance**2)
