"""From absolute tristimulus values to what a screen shows, and to what is measured."""

import sys
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from finishes.adaptation import FULL, RGB_FROM_XYZ, display_matrix, encode_srgb

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
    degree: float = FULL
    """How far the eye has adapted to it, 0 to 1: less than FULL leaves a warm light warm."""

    def rgb_from_xyz(self) -> Floats:
        """(3, 3) from tristimulus values [cd/m2] to linear display values."""
        return display_matrix(self.white_xyz * self.white_cd_m2, self.degree)


def scene_linear(xyz: Pixels) -> Pixels:
    """(h, w, 3) float32 in linear sRGB primaries, Y in cd/m2, neither adapted nor exposed nor clipped."""
    return np.ascontiguousarray(xyz @ RGB_FROM_XYZ.T.astype(np.float32), dtype=np.float32)


_STEPS = 1 << 16
_CODES: NDArray[np.uint32] = np.rint(255 * encode_srgb(np.arange(_STEPS) / (_STEPS - 1))).astype(np.uint32)
"""sRGB's curve as a table: 65,536 steps of linear light are at most 0.05 code apart in the darkest tones."""
_PACKED: tuple[NDArray[np.uint32], ...] = tuple(
    (_CODES << shift).astype(np.uint32)
    for shift in ((0, 8, 16) if sys.byteorder == "little" else (24, 16, 8))
)
"""The same for red, green and blue, each at its place in four bytes."""


def packed_srgb(linear: NDArray[np.float32]) -> NDArray[np.uint32]:
    """(n,) sRGB of linear display values (n, 3), which are clipped in place: bytes red, green, blue, 0."""
    np.clip(linear, 0.0, 1.0, out=linear)
    linear *= _STEPS - 1
    linear += 0.5
    step = linear.astype(np.uint16)
    packed = _PACKED[0][step[:, 0]]
    packed |= _PACKED[1][step[:, 1]]
    packed |= _PACKED[2][step[:, 2]]
    return packed


def unpacked(packed: NDArray[np.uint32]) -> NDArray[np.uint8]:
    """(..., 3) bytes of packed sRGB (...)."""
    return np.ascontiguousarray(packed[..., None].view(np.uint8)[..., :3])


def display_srgb(xyz: Pixels, exposure: Exposure) -> NDArray[np.uint8]:
    """(h, w, 3) sRGB, 8 bit: adapted to the lighting's white (CAT16), exposed; no tone curve."""
    linear = xyz.reshape(-1, 3) @ exposure.rgb_from_xyz().T.astype(np.float32)
    return unpacked(packed_srgb(linear)).reshape(xyz.shape)


def described(exposure: Exposure) -> dict[str, Any]:
    """The exposure as it is written beside a picture."""
    return {
        "white_cd_m2": round(exposure.white_cd_m2, 3),
        "adapted_to_xyz": [round(float(value), 5) for value in exposure.white_xyz],
        "degree_of_adaptation": exposure.degree,
        "card": {"reflectance": CARD_REFLECTANCE, "shown_linear": CARD_SHOWN},
    }
