"""Pigments as smooth curves of absorption and scattering, and their mixing.

Shapes of a term over wavelength l, each times its ``height``::

    flat   1                                  edge   1 / (1 + exp((l - at) / width))     falling at an oxide's
    edge rise   1 - edge                           band   exp(-((l - at) / width)^2)
    decay  exp(-(l - at) / width)             power  (l / at) ^ exponent

Mixtures add K and S in proportion to load (Duncan's law for Kubelka-Munk constants, two-constant theory).
"""

from collections.abc import Iterable, Mapping
from functools import lru_cache

import numpy as np

from finishes.catalogue.constants import Curve, PigmentEntry, Term
from finishes.spectra import WAVELENGTHS_NM, Floats, frozen


def _term(term: Term) -> Floats:
    offset = (WAVELENGTHS_NM - term.at_nm) / term.width_nm
    match term.shape:
        case "flat":
            shape = np.ones_like(offset)
        case "edge":
            shape = 1.0 / (1.0 + np.exp(offset))
        case "rise":
            shape = 1.0 / (1.0 + np.exp(-offset))
        case "band":
            shape = np.exp(-(offset**2))
        case "decay":
            shape = np.exp(-offset)
        case "power":
            shape = (WAVELENGTHS_NM / term.at_nm) ** term.exponent
    return term.height * shape


@lru_cache(maxsize=256)
def curve(curve: Curve) -> Floats:
    """(41,) values of a curve, >= 0."""
    return frozen(sum((_term(term) for term in curve.terms), start=np.zeros_like(WAVELENGTHS_NM)))


def mix(loads: Iterable[tuple[str, float]], pigments: Mapping[str, PigmentEntry]) -> tuple[Floats, Floats]:
    """K and S, (41,) each, of a recipe: loads by pigment name, for one planed coat."""
    absorption, scattering = np.zeros_like(WAVELENGTHS_NM), np.zeros_like(WAVELENGTHS_NM)
    for name, load in loads:
        absorption += load * curve(pigments[name].absorption)
        scattering += load * curve(pigments[name].scattering)
    return absorption, scattering
