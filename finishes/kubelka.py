"""Light in scattering layers: Kubelka & Munk 1931, Kubelka 1948, and Saunderson's surface correction 1942.

All functions work on arrays of any shape that broadcast; reflectances lie in 0..1. They are vectorised over
wavelength and over finishes, and none has a special case for K = 0, S = 0 or X = 0.
"""

import numpy as np

from finishes.spectra import Floats


def ratio_ks(reflectance: Floats) -> Floats:
    """K/S of an infinitely thick layer: (1 - R)^2 / (2 R) (Kubelka & Munk 1931)."""
    return (1.0 - reflectance) ** 2 / (2.0 * reflectance)


def infinite(ratio: Floats) -> Floats:
    """Reflectance of an infinitely thick layer with the given K/S (Kubelka & Munk 1931).

    Written as 1 / (1 + q + sqrt(q^2 + 2 q)), which is the published 1 + q - sqrt(q^2 + 2 q) without the
    cancellation that the difference suffers for dark layers.
    """
    return 1.0 / (1.0 + ratio + np.sqrt(ratio * (ratio + 2.0)))


def layer(absorption: Floats, scattering: Floats, under: Floats) -> Floats:
    """Reflectance of a finite layer over a ground (Kubelka 1948).

    absorption, scattering : K X and S X, both already multiplied by the thickness, >= 0.
    under : reflectance of the ground, 0..1.

    The published form is R = (1 - Rg (a - b coth bSX)) / (a - Rg + b coth bSX). With A = K + S,
    B = sqrt(A^2 - S^2) and t = tanh(B)/B it becomes R = (Rg (1 - A t) + S t) / (1 + (A - S Rg) t), which
    stays finite for S = 0 (a dye: Rg exp(-2K)), for K = 0 and for no layer at all.
    """
    total = absorption + scattering
    root = np.sqrt(absorption * (absorption + 2.0 * scattering))
    # tanh(B)/B -> 1 - B^2/3 as B -> 0; below 1e-4 the series is exact to the last bit
    small = root < 1e-4
    safe = np.where(small, 1.0, root)
    t = np.where(small, 1.0 - root * root / 3.0, np.tanh(safe) / safe)
    result: Floats = (under * (1.0 - total * t) + scattering * t) / (1.0 + (total - scattering * under) * t)
    return result


def outward(inner: Floats, external: float, internal: float | Floats) -> Floats:
    """What leaves the surface, without the light that the surface itself throws back (Saunderson 1942).

    inner : reflectance inside the material; external, internal : K1, K2.
    Returns (1 - K1)(1 - K2) R / (1 - K2 R); adding K1 gives Saunderson's whole formula.
    """
    return (1.0 - external) * (1.0 - internal) * inner / (1.0 - internal * inner)


def saunderson_inverse(measured: Floats, external: float, internal: float) -> Floats:
    """Reflectance inside the material: (Rm - K1) / (1 - K1 - K2 + K2 Rm) (inverse form, Allen 1980)."""
    return (measured - external) / (1.0 - external - internal + internal * measured)
