"""The figure of each candidate for the orbit view: the stems that the stills' figure is cut from."""

from collections.abc import Sequence
from typing import Any

from meshes.grain import scene_stems
from meshes.solids.scene import Scene
from meshes.stems import GROWTH, KNOTS, Figure
from viewer.pages.orbit_light import container

PLAIN = Figure()
"""Stands for a board without figure, whose two zones are alike: what it draws cannot be seen."""


def figure_json(figure: Figure | None) -> dict[str, Any]:
    """What the shader reads of it; see static/js/figure.js."""
    figure = figure or PLAIN
    growth = GROWTH[figure.kind]
    return {"growth": [growth.blend, growth.streak, *growth.streak_mm], "knots": list(KNOTS[figure.knots])}


def figure_bytes(scene: Scene, figures: Sequence[Figure | None]) -> bytes:
    """A container with one array of stems (slats, 16) a candidate, named by its place."""
    stems = (scene_stems(scene, figure or PLAIN).numbers for figure in figures)
    return container({}, {str(number): numbers for number, numbers in enumerate(stems)})
