"""A lighting as spectra: where the lamps of a job meet the lamps of the catalogue."""

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from meshes.light.lamps import Lighting

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue

Floats = NDArray[np.float64]


def mixed_weights(lighting: Lighting, catalogue: "Catalogue") -> Floats:
    """(41, 3) from reflectance to XYZ (Y = 1 for white) under all lamps together, mixed by their lumens."""
    total = sum(lamp.lumens for lamp in lighting.lamps)
    mixed: Floats = np.zeros((41, 3))
    for lamp in lighting.lamps:
        mixed = mixed + catalogue.light(lamp.spectrum).weights * (lamp.lumens / total)
    return mixed


def mixed_white(lighting: Lighting, catalogue: "Catalogue") -> Floats:
    """(3,) XYZ, Y = 1, of a white card under the lighting: what an observer in the room is adapted to."""
    white: Floats = mixed_weights(lighting, catalogue).sum(axis=0)
    return white


def lamp_spds(lighting: Lighting, catalogue: "Catalogue") -> Floats:
    """(n_lamps, 41) relative spectra of the lamps, in the order of the lighting."""
    return np.stack([catalogue.light(lamp.spectrum).spd for lamp in lighting.lamps])
