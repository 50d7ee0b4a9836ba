"""What the page hands to the orbit view, shaped as static/js/types.d.ts says. Lengths in metres.

Spectra go along for every candidate, so that a change of choice asks the server nothing.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finishes.appearance import Appearance
from finishes.choice import Finish
from meshes.light.lamps import Lighting
from meshes.light.system import CLASSES
from meshes.solids.scene import Scene
from meshes.solids.section import metres
from meshes.stems import Figure
from meshes.stills.camera import VIEWS, Camera, camera, views
from meshes.stills.gloss import body_lines, coat_of
from meshes.surfaces import SURFACES
from viewer.figure import figure_of
from viewer.pages.orbit_figure import figure_json
from viewer.pages.orbit_geometry import FORMAT, fixed_paints
from viewer.pages.orbit_shader import shaders
from viewer.picture import Studio
from viewer.plates import plate_spectra

Floats = NDArray[np.float64]

CLEARANCE_M = 0.1
"""Every camera stays this far inside the room."""
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
    low, high = _space(studio.scene)
    looks = [(name, finish, studio.appearance(finish)) for name, finish in candidates]
    return {
        "still": addresses.still,
        "figure": _fresh(addresses.figure),
        "glsl": shaders(),
        "fixed": fixed_paints(
            (room.reflectance.floor, room.reflectance.ceiling, room.reflectance.walls),
            plate_spectra(studio.scene.set_outs, catalogue.cache_dir),
        ),
        "words": dict(words),
        "space": {"min": low, "max": high},
        "views": {
            name: _view(camera(name, studio.scene, ASPECT), *_facing(studio.scene, max(0, wall)))
            for wall, name in enumerate(views(len(studio.scene.set_outs)), start=1 - len(VIEWS))
        },
        "layout": {
            "upright": set_out.run == "upright",
            "finest_m": float(min(set_out.gap or set_out.slat_width, set_out.slat_width)) / 1000,
        },
        "lightings": [
            {"key": str(number), "name": lighting.name, "light": _fresh(addresses.light[number])}
            for number, lighting in enumerate(lightings)
        ],
        "candidates": [
            candidate_data(str(number), name, figure_of(finish, catalogue), seen)
            for number, (name, finish, seen) in enumerate(looks)
        ],
    }


def candidate_data(key: str, name: str, figure: Figure | None, seen: Appearance) -> dict[str, Any]:
    """One finish as the orbit view puts it on."""
    return {
        "key": key,
        "name": name,
        "state": seen.state,
        "figure": figure_json(figure),
        "zones": [zones_of(seen, word, figured=figure is not None) for word in SURFACES],
        "classes": [_rounded(seen.seen(word)) for word in CLASSES[:-1]],
        "coat": coat_data(seen),
    }


def zones_of(seen: Appearance, word: str, *, figured: bool) -> list[list[float]]:
    """Reflectance (41) of a surface, or that of early wood, late wood and, where there are any, knots."""
    if word not in seen.reflectance:
        return []
    if not figured or word not in seen.zones:
        return [_rounded(seen.seen(word))]
    knots = [] if seen.knot is None else [seen.knot]
    added = seen.seen(word) - seen.reflectance[word]
    return [_rounded(zone + added) for zone in (*seen.zones[word], *knots)]


def coat_data(seen: Appearance) -> dict[str, Any] | None:
    """The clear coat as meshes/stills/gloss.py takes it.

    ``surface`` : f0, alpha, matt share; ``body`` : what of the wood's own light comes out, by the cosine.
    """
    coat = coat_of(seen.gloss.f0, seen.gloss.roughness, seen.gloss.matt_share)
    if coat is None:
        return None
    return {"surface": [coat.f0, coat.alpha, coat.matt], "body": _rounded(body_lines(coat)[1])}


def _fresh(address: str) -> str:
    """An address whose kept copy is of no more use once the format changes."""
    return f"{address}{'&' if '?' in address else '?'}format={FORMAT}"


def _rounded(values: Floats) -> list[float]:
    return [round(float(value), 5) for value in values]


def _space(scene: Scene) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Where the camera may stand [m]: in the box about the room, clear of its sides and of the slats."""
    low = np.array([scene.plan[:, 0].min(), 0.0, 0.0])
    high = np.array([scene.plan[:, 0].max(), scene.height, scene.plan[:, 1].max()])
    for frame, set_out in zip(scene.frames, scene.set_outs, strict=True):
        axis = int(np.abs(frame[:3, 2]).argmax())
        face = frame[axis, 3] + frame[axis, 2] * float(set_out.build_up.total) / 1000
        if frame[axis, 2] > 0 and low[axis] >= frame[axis, 3] - 1e-6:
            low[axis] = face
        elif frame[axis, 2] < 0 and high[axis] <= frame[axis, 3] + 1e-6:
            high[axis] = face
    return tuple((low + CLEARANCE_M).tolist()), tuple((high - CLEARANCE_M).tolist())


def _facing(scene: Scene, wall: int) -> tuple[Floats, float]:
    """Which way a wall looks into the room (3,), and how far out from the origin its slats' face lies [m]."""
    frame = scene.frames[wall]
    out = frame[:3, 2]
    return out, float(out @ frame[:3, 3]) + metres(scene.set_outs[wall].build_up.total)


def _view(seen: Camera, out: Floats, face: float) -> dict[str, Any]:
    """A camera of the stills as a place and a point to turn about: where its axis meets the slats' face.

    ``facing`` : the turn about the upright axis of a camera straight before that face [radians].
    """
    forward, eye = -seen.world_from_camera[:3, 2], seen.eye
    away = (float(out @ eye) - face) / max(-float(out @ forward), 0.15)
    return {
        "facing": math.atan2(out[0], out[2]),
        "position": [float(value) for value in eye],
        "target": [float(value) for value in eye + forward * max(away, 0.3)],
        "vertical_fov_deg": seen.vertical_fov_deg,
        "aspect": ASPECT,
    }
