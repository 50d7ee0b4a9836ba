"""Stain in wood and film on wood: two limits of one finite Kubelka-Munk layer over the unstained wood.

Section through a finished face::

    ~~~~~~~~~~~~~~~~~~~~~~~~~~  surface: K1 outward, K2 inward (Saunderson 1942)
    :::::: pigment + wood :::::  stained zone, X = 1: K = q_w s S_d + L sum(c K), S = s S_d + L sum(c S)
    ==========================  wood below, wetted where binder or oil has reached it: R_g = R_inf(q_w)

q_w is the wood's K/S after wetting: q / s, plus the yellow of a drying oil. A *penetrating* stain lies in the
wood's own scattering (S_d > 0) and saturates towards dyed wood; a *film* lies on it (S_d = 0) and can hide
it.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from finishes.catalogue import Catalogue
from finishes.kubelka import infinite, layer, outward, ratio_ks, saunderson_inverse
from finishes.spectra import WAVELENGTHS_NM, Floats, frozen

DARKEST = 1e-3
"""Lowest reflectance inside bare wood."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Optics:
    """The model's constants as plain numbers; see ``catalogue/optics.toml`` for source and tag of each."""

    external: float
    internal_bare: float
    internal_filled: float
    wet_scattering: float
    zone_scattering: float
    stain_fill: float
    binder_load: float
    oil_yellow: Floats
    wet_on_wet: float
    dried: float
    surface_load: dict[str, float]


@lru_cache(maxsize=8)
def optics(catalogue: Catalogue) -> Optics:
    """The constants of one catalogue."""
    c = catalogue.constant
    yellow = c("oil yellow height") * np.exp(-(WAVELENGTHS_NM - 400.0) / c("oil yellow decay"))
    return Optics(
        external=c("external reflection"),
        internal_bare=c("internal reflection, bare"),
        internal_filled=c("internal reflection, filled"),
        wet_scattering=c("wet scattering"),
        zone_scattering=c("stained zone scattering"),
        stain_fill=c("fill by stain alone"),
        binder_load=c("binder load"),
        oil_yellow=frozen(yellow),
        wet_on_wet=c("further coat, wet on wet"),
        dried=c("further coat, dried"),
        surface_load={surface: c(f"load on {surface}") for surface in ("planed", "sanded", "sawn", "end")},
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface:
    """What the topcoat makes of the surface: ``TopcoatEntry`` explains the shares, 0..1 (yellow 0..3)."""

    fill: float
    wetting: float
    yellow: float
    matt: bool
    """Whether the whole first-surface reflection is diffuse and stays in the reflectance (no coat)."""


def coat_load(coats: int, further: float) -> float:
    """Load of n coats against one: 1 + r + r^2 … = (1 - r^n) / (1 - r); ``further`` is r in 0..1."""
    if coats < 0:
        raise ValueError(f"coats is {coats}; it must be 0 or more")
    return float(sum(further**n for n in range(coats)))


def finish(
    bare: Floats,
    absorption: Floats,
    scattering: Floats,
    total_load: Floats,
    surface: Surface,
    constants: Optics,
    *,
    film: bool = False,
) -> Floats:
    """Reflectance of the finished wood, without the mirror-like part of the first surface.

    bare : (..., 41) measured reflectance of the bare wood.
    absorption, scattering : (..., 41) K and S of the stain, load included.
    total_load : (..., 1) the sum of pigment loads; 0 leaves the surface as it was.
    Returns (..., 41) in 0..1. With no load and no topcoat it is ``bare`` again.
    """
    # nothing with a first surface measures darker than that surface; a fitted dark knot may, by a little
    inner = np.maximum(saunderson_inverse(bare, constants.external, constants.internal_bare), DARKEST)
    binder = constants.stain_fill * (1.0 - np.exp(-total_load / constants.binder_load))
    fill = np.maximum(surface.fill, binder)
    wet = 1.0 - (1.0 - constants.wet_scattering) * np.maximum(surface.wetting, 0.0 if film else binder)
    wood = ratio_ks(inner) / wet + surface.yellow * constants.oil_yellow
    own = 0.0 if film else wet * constants.zone_scattering
    reflected = layer(wood * own + absorption, own + scattering, infinite(wood))
    internal = constants.internal_bare + fill * (constants.internal_filled - constants.internal_bare)
    seen = outward(reflected, constants.external, internal)
    result: Floats = seen + constants.external if surface.matt else seen
    return result
