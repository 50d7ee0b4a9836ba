"""The colour of plates: what the survey says of each, as a spectrum."""

from collections.abc import Iterable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from finishes.timber import NoSpectrumError, fit
from meshes.layout.placed import SetOut
from meshes.layout.survey import Opening
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


def plate_reflectance(set_outs: Iterable[SetOut], usual: Floats, cache_dir: Path | None) -> Floats:
    """(41,) of the plates that the walls show: their mean by area, where they differ.

    usual : of a plate whose colour the survey leaves out.
    """
    plates = [plate for one in set_outs for plate in one.plates]
    if not plates:
        return usual
    spectra = [usual if plate.lab_d65 is None else _spectrum(plate.lab_d65, cache_dir) for plate in plates]
    areas = np.array([float(plate.rect.area) for plate in plates])
    return np.asarray(np.average(np.stack(spectra), axis=0, weights=areas))
