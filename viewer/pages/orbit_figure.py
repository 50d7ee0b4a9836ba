"""The wall as triangles, and the stems that each candidate's figure is cut from, for the orbit view."""

import base64
from collections.abc import Sequence
from typing import Any

import numpy as np

from meshes.scene_grain import scene_stems
from meshes.solids.scene import Scene
from meshes.stems import GROWTH, KNOTS, Figure
from viewer.pages.orbit_container import container
from viewer.pages.orbit_geometry import geometry
from viewer.pages.orbit_things import thing_geometry

PLAIN = Figure()
"""Stands for a board without figure, whose two zones are alike: what it draws cannot be seen."""


def figure_json(figure: Figure | None) -> dict[str, Any]:
    """What the shader reads of it; see static/glsl/figure.glsl."""
    figure = figure or PLAIN
    growth = GROWTH[figure.kind]
    return {"growth": [growth.blend, growth.streak, *growth.streak_mm], "knots": list(KNOTS[figure.knots])}


def stems_json(scene: Scene, figure: Figure | None) -> str:
    """The stems of one figure, (slats, 16) little-endian floats, as base64: for a finish that is tried on."""
    return base64.b64encode(
        scene_stems(scene, figure or PLAIN).numbers.astype(np.dtype("<f4")).tobytes()
    ).decode()


def figure_bytes(scene: Scene, figures: Sequence[Figure | None]) -> bytes:
    """A container: wall and grey things as triangles, stems (slats, 16) for each candidate by its place."""
    stems = {
        str(number): scene_stems(scene, figure or PLAIN).numbers for number, figure in enumerate(figures)
    }
    return container({}, {**geometry(scene), **thing_geometry(scene), **stems})
