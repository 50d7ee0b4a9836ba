"""From XYZ under a lamp to what a screen shows: chromatic adaptation by CAT16, then sRGB (IEC 61966-2-1).

Policy. Comparison and sign-off use full adaptation (D = 1): a white card stays white. ``EVENING_FEEL`` is a
labelled preview of a warm room seen by a viewer who is adapted to the screen; a white card must be in the
picture. No adaptation (D = 0) records what a fixed-daylight camera would, and clips; it is not offered.
"""

import numpy as np

from finishes.spectra import Floats, frozen

CAT16: Floats = frozen(
    np.array(
        [
            [0.401288, 0.650173, -0.051461],
            [-0.250268, 1.204414, 0.045854],
            [-0.002079, 0.048952, 0.953127],
        ]
    )
)
"""XYZ to sharpened cone responses (Li et al. 2017, the CAT of CIECAM16)."""

FULL = 1.0
EVENING_FEEL = 0.85
"""CIECAM16's D for an average surround at 10 to 20 cd/m2 (0.84 to 0.86)."""

D65_XY = (0.3127, 0.3290)
"""White of sRGB (IEC 61966-2-1)."""
_PRIMARIES_XY = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))


def _xyz(x: float, y: float) -> Floats:
    return np.array([x / y, 1.0, (1.0 - x - y) / y])


D65_XYZ: Floats = frozen(_xyz(*D65_XY))
_columns: Floats = np.stack([_xyz(x, y) for x, y in _PRIMARIES_XY], axis=1)
_gains = np.asarray(np.linalg.solve(_columns, D65_XYZ), dtype=np.float64)
XYZ_FROM_RGB: Floats = frozen(_columns * _gains)
"""Linear sRGB to XYZ (Y = 1 for white), from the standard's primaries and white, so that
white stays white."""
RGB_FROM_XYZ: Floats = frozen(np.asarray(np.linalg.inv(XYZ_FROM_RGB), dtype=np.float64))


def adaptation_matrix(white_from: Floats, white_to: Floats, degree: float = FULL) -> Floats:
    """(3, 3) M such that M @ xyz is the corresponding colour under ``white_to`` (CAT16).

    white_from, white_to : (3,) XYZ; only their chromaticity counts (both are taken at Y = 1).
    degree : D in 0..1; 1 is complete adaptation.
    """
    if not 0.0 <= degree <= 1.0:
        raise ValueError(f"degree of adaptation is {degree:g}; it must lie from 0 to 1")
    cone_from = CAT16 @ (white_from / white_from[1])
    cone_to = CAT16 @ (white_to / white_to[1])
    gain = degree * cone_to / cone_from + 1.0 - degree
    result: Floats = np.linalg.solve(CAT16, gain[:, None] * CAT16)
    return result


def adapt(xyz: Floats, white_from: Floats, white_to: Floats, degree: float = FULL) -> Floats:
    """xyz : (..., 3) seen under ``white_from``; returns (..., 3) for an observer under ``white_to``."""
    result: Floats = xyz @ adaptation_matrix(white_from, white_to, degree).T
    return result


def display_matrix(white: Floats, degree: float = FULL) -> Floats:
    """(3, 3) from XYZ under ``white`` straight to linear sRGB, 1 for a surface as bright as ``white``.

    ``rgb = xyz @ display_matrix(white).T``. white : (3,) in the same unit as xyz (cd/m2 or Y = 1): its Y is
    the luminance that is shown as display white.
    """
    result: Floats = RGB_FROM_XYZ @ adaptation_matrix(white, D65_XYZ, degree) / white[1]
    return result


def encode_srgb(linear: Floats) -> Floats:
    """The sRGB transfer curve; linear : any shape, clipped to 0..1 here. Returns 0..1."""
    value = np.clip(linear, 0.0, 1.0)
    return np.where(value <= 0.0031308, 12.92 * value, 1.055 * value ** (1.0 / 2.4) - 0.055)


def decode_srgb(encoded: Floats) -> Floats:
    """The inverse of :func:`encode_srgb`; encoded : any shape in 0..1."""
    return np.where(encoded <= 0.04045, encoded / 12.92, ((np.maximum(encoded, 0.0) + 0.055) / 1.055) ** 2.4)


def adapted_srgb(xyz: Floats, white: Floats, d: float = FULL) -> Floats:
    """sRGB for a screen, encoded, 0..1 and clipped: xyz (..., 3) and white (3,) in the same unit."""
    return encode_srgb(xyz @ display_matrix(white, d).T)


def linear_srgb(xyz: Floats, white: Floats, d: float = FULL) -> Floats:
    """As :func:`adapted_srgb`, linear and unclipped: below 0 or above 1 is out of the screen's gamut."""
    result: Floats = xyz @ display_matrix(white, d).T
    return result
