"""The colour of plates: what the survey says of each, as a spectrum."""

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finishes.timber import NoSpectrumError, fit
from meshes.layout.placed import Plate, SetOut
from meshes.layout.survey import Opening
from meshes.solids.scene import Scene
from viewer.job.reading import Problem

Floats = NDArray[np.float64]


def _spectrum(lab: Iterable[object], cache_dir: Path | None) -> Floats:
    lightness, a, b = (float(value) for value in lab)  # type: ignore[arg-type] # exact numbers of a job
    return fit((lightness, a, b), cache_dir=cache_dir)


def plate_problems(openings: Iterable[tuple[int, Opening]]) -> list[Problem]:
    """Colours of plates that no matt surface can have."""
    problems = []
    for place, opening in openings:
        if opening.plate_lab_d65 is not None:
            try:
                _spectrum(opening.plate_lab_d65, None)
            except NoSpectrumError:
                path = f"openings[{place}].plate_lab_d65"
                problems.append((path, "no matt surface has this colour; expected L*, a*, b* of a real one"))
    return problems


def plate_numbers(scene: Scene) -> NDArray[np.int16]:
    """(parts,) which colour of ``plate_spectra`` each part of a scene has; -1 for the usual one, and for what
    is no plate."""
    plates = _plates(scene.set_outs)
    known = _known(plates)
    found = np.full(len(scene.parts), -1, np.int16)
    for place, part in enumerate(scene.parts):
        kind, _, number = part.name.partition("/")
        lab = plates[int(number)].lab_d65 if kind == "plate" else None
        if lab is not None:
            found[place] = known.index(lab)
    return found


def plate_spectra(set_outs: Iterable[SetOut], cache_dir: Path | None) -> tuple[Floats, ...]:
    """Reflectance (41,) of each colour that the survey gives its plates."""
    return tuple(_spectrum(lab, cache_dir) for lab in _known(_plates(set_outs)))


def _plates(set_outs: Iterable[SetOut]) -> list[Plate]:
    return [plate for one in set_outs for plate in one.plates]


def _known(plates: Iterable[Plate]) -> list[tuple[Fraction, Fraction, Fraction]]:
    return list(dict.fromkeys(plate.lab_d65 for plate in plates if plate.lab_d65 is not None))
