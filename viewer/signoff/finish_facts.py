"""The facts of a finish that a signature fixes: every part of it but the name that it goes by."""

from collections.abc import Iterator, Sequence
from gettext import gettext as _
from typing import Any

import numpy as np

from finishes.choice import Finish
from finishes.cielab import lab
from finishes.lamps import lamp
from viewer.signoff.agreed import Fact

FINISH_WORDS = {
    "timber": "timber",
    "stain": "stain",
    "own_tone.first": "own tone, first stain",
    "own_tone.first_parts": "own tone, parts of the first",
    "own_tone.second": "own tone, second stain",
    "own_tone.second_parts": "own tone, parts of the second",
    "coats": "coats",
    "between_coats": "between coats",
    "topcoat": "topcoat",
    "fabric": "backing",
    "faces": "faces",
    "sides": "sides",
    "backs": "backs",
    "sorting": "sorting",
    "sample": "measured sample",
    "off_cut.name": "measured off-cut",
    "off_cut.date": "measured off-cut, day of the photograph",
    "off_cut.lamp": "measured off-cut, lamp of the photograph",
    "off_cut.timber": "measured off-cut, timber",
    "off_cut.tone": "measured off-cut, tone",
    "off_cut.coats": "measured off-cut, coats",
    "off_cut.between_coats": "measured off-cut, between coats",
    "off_cut.faces": "measured off-cut, faces",
    "off_cut.topcoat": "measured off-cut, topcoat",
    "off_cut.reflectance": "measured off-cut, colour by day (L*, a*, b*)",
}
"""Every part of a finish with its words; of a measured off-cut all but how sure its colour is."""


def finish_facts(finish: Finish) -> Iterator[Fact]:
    """What is signed of a finish, names filled in."""
    flat = dict(flattened(finish.model_dump(mode="json")))
    if "off_cut.reflectance" in flat:
        flat["off_cut.reflectance"] = _colour(flat["off_cut.reflectance"])
    for name, words in FINISH_WORDS.items():
        if name in flat and flat[name] != "":
            yield Fact(
                name=f"finish.{name}", words=_(words), value=_text(flat[name]), unit="", tolerance=None
            )


def flattened(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Leaves of nested objects by dotted path; an absent object has none."""
    if isinstance(value, dict):
        for name, item in value.items():
            yield from flattened(item, f"{path}.{name}" if path else name)
    elif value is not None:
        yield path, value


def _text(value: Any) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _colour(reflectance: Sequence[float]) -> str:
    """41 values as the three that people compare; one band alone hardly moves them, so two decimals."""
    daylight = lamp("D65")
    values = lab(np.array(reflectance) @ daylight.weights, daylight.white_xyz)
    return ", ".join(f"{value:.2f}" for value in values)
