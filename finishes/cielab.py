"""CIELAB (ISO/CIE 11664-4) from tristimulus values whose white has Y = 1."""

import numpy as np

from finishes.spectra import Floats

EPSILON = 216.0 / 24389.0
KAPPA = 24389.0 / 27.0


def lab(xyz: Floats, white: Floats) -> Floats:
    """L*, a*, b* relative to ``white``.

    xyz : (..., 3), white : (3,) or (..., 3), same scale.
    Returns (..., 3): L* 0..100, a* and b* roughly -128..128.
    """
    ratio = xyz / white
    f = np.where(ratio > EPSILON, np.cbrt(ratio), (KAPPA * ratio + 16.0) / 116.0)
    result = np.empty_like(f)
    result[..., 0] = 116.0 * f[..., 1] - 16.0
    result[..., 1] = 500.0 * (f[..., 0] - f[..., 1])
    result[..., 2] = 200.0 * (f[..., 1] - f[..., 2])
    return result


def xyz_from_lab(values: Floats, white: Floats) -> Floats:
    """The inverse of :func:`lab`.

    values : (..., 3) L*, a*, b*; white : (3,). Returns (..., 3) on the scale of ``white``.
    """
    y = (values[..., 0] + 16.0) / 116.0
    f = np.stack([y + values[..., 1] / 500.0, y, y - values[..., 2] / 200.0], axis=-1)
    cube = f**3
    ratio = np.where(cube > EPSILON, cube, (116.0 * f - 16.0) / KAPPA)
    result: Floats = ratio * white
    return result
