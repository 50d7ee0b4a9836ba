"""From absolute tristimulus values to what a screen shows, and to what is measured."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import RGB_FROM_XYZ, display_matrix, encode_srgb

Floats = NDArray[np.float64]
Pixels = NDArray[np.float32]
"""(h, w, 3) float32."""

CARD_REFLECTANCE = 0.9
"""A white card of the kind that photographers use; matt."""
CARD_SHOWN = 0.8
"""Linear display value of the white card at the wall's middle: below clipping, a third of a stop to spare."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """How luminance became display value: ``white_cd_m2`` is shown as full white (linear 1)."""

    white_cd_m2: float
    white_xyz: Floats
    """(3,) XYZ, Y = 1, of the white that the picture is adapted to."""


def scene_linear(xyz: Pixels) -> Pixels:
    """(h, w, 3) float32 in linear sRGB primaries, Y in cd/m2, neither adapted nor exposed nor clipped."""
    return np.ascontiguousarray(xyz @ RGB_FROM_XYZ.T.astype(np.float32), dtype=np.float32)


_STEPS = 1 << 16
_CODES: NDArray[np.uint8] = np.rint(255 * encode_srgb(np.arange(_STEPS) / (_STEPS - 1))).astype(np.uint8)
"""sRGB's curve as a table: 65,536 steps of linear light are at most 0.05 code apart in the darkest tones."""


def display_srgb(xyz: Pixels, exposure: Exposure) -> NDArray[np.uint8]:
    """(h, w, 3) sRGB, 8 bit: fully adapted to the lighting's white (CAT16, D = 1), exposed; no tone curve."""
    white = exposure.white_xyz * exposure.white_cd_m2
    linear = xyz @ display_matrix(white).T.astype(np.float32)
    np.clip(linear, 0.0, 1.0, out=linear)
    linear *= _STEPS - 1
    linear += 0.5
    return _CODES[linear.astype(np.uint16)]


def described(exposure: Exposure) -> dict[str, Any]:
    """The exposure as it is written beside a picture."""
    return {
        "white_cd_m2": round(exposure.white_cd_m2, 3),
        "adapted_to_xyz": [round(float(value), 5) for value in exposure.white_xyz],
        "card": {"reflectance": CARD_REFLECTANCE, "shown_linear": CARD_SHOWN},
    }
