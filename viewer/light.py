"""A lighting as spectra: where the lamps of a job meet the lamps of the catalogue."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from finishes.lamps import LampSpectrum, mixed
from meshes.light.lamps import Lamp, Lighting

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Floats = NDArray[np.float64]


def light_of(lamp: Lamp, catalogue: "Catalogue") -> LampSpectrum:
    """The spectrum of one lamp of the job, dimmed as it is: a filament then shines warmer."""
    return catalogue.light(lamp.spectrum, dimmed_to=lamp.dimmed_to)


def light_together(lighting: Lighting, catalogue: "Catalogue") -> LampSpectrum:
    """All lamps of a lighting as one light, by their lumens: to compare colours under."""
    return mixed(lighting.name, [(light_of(lamp, catalogue), lamp.dimmed_lumens) for lamp in lighting.lamps])


def mixed_weights(lighting: Lighting, catalogue: "Catalogue") -> Floats:
    """(41, 3) from reflectance to XYZ (Y = 1 for white) under all lamps together, mixed by their lumens."""
    return light_together(lighting, catalogue).weights


def mixed_white(lighting: Lighting, catalogue: "Catalogue") -> Floats:
    """(3,) XYZ, Y = 1, of a white card under the lighting: what an observer in the room is adapted to."""
    white: Floats = mixed_weights(lighting, catalogue).sum(axis=0)
    return white


def lamp_spds(lighting: Lighting, catalogue: "Catalogue") -> Floats:
    """(n_lamps, 41) relative spectra of the lamps, in the order of the lighting."""
    return np.stack([light_of(lamp, catalogue).spd for lamp in lighting.lamps])
