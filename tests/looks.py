"""Looks of finishes and their colour by day, for the tests of colours."""

from finishes.appearance import Appearance, appearance
from finishes.catalogue import Catalogue
from finishes.choice import Finish
from finishes.cielab import lab
from finishes.lamps import lamp
from finishes.spectra import Floats


def look(catalogue: Catalogue, **chosen: object) -> Appearance:
    """The appearance of a finish given by its fields."""
    return appearance(Finish.model_validate(chosen), catalogue)


def daylight(reflectance: Floats) -> Floats:
    """CIELAB (..., 3) under D65, 2°."""
    light = lamp("D65")
    return lab(reflectance @ light.weights, light.white_xyz)
