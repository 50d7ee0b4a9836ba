"""The band of a finish: three slats cut from its own board, palest, mean and deepest, over its backing.

::

    ████████████████████   palest board: mean lightness + one spread
    ░░░░ backing ░░░░░░░
    ████████████████████   the mean
    ░░░░░░░░░░░░░░░░░░░░
    ████████████████████   deepest: mean − one spread

The figure is the two zones of the wood, drawn as growth rings of a flat-sawn board; a white card would be 1.
"""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from finishes.adaptation import adapted_srgb
from finishes.appearance import Appearance

Floats = NDArray[np.float64]

SLATS = 3
SPREAD = (1.0, 0.0, -1.0)
LENGTH_MM = 260.0
SUPERSAMPLE = 3


def band_png(
    seen: Appearance, weights: Floats, white: Floats, *, width: int = 360, height: int = 96, seed: int = 0
) -> bytes:
    """PNG of the band. ``weights`` : (41, 3) reflectance to XYZ under a light, ``white`` its XYZ."""
    xyz = _xyz(seen, weights, width * SUPERSAMPLE, height * SUPERSAMPLE, seed)
    shown = xyz.reshape(height, SUPERSAMPLE, width, SUPERSAMPLE, 3).mean(axis=(1, 3))
    encoded = np.round(adapted_srgb(shown, white) * 255).astype(np.uint8)
    file = io.BytesIO()
    Image.fromarray(encoded).save(file, "PNG", optimize=True)
    return file.getvalue()


def _xyz(seen: Appearance, weights: Floats, width: int, height: int, seed: int) -> Floats:
    early, late = (zone @ weights for zone in seen.zones["slat_front"])
    fabric = seen.reflectance["fabric"] @ weights
    picture = np.broadcast_to(fabric * 0.35, (height, width, 3)).copy()
    pitch = height / SLATS
    gap = pitch * 0.16
    for number, spread in enumerate(SPREAD):
        top = round(number * pitch + (gap / 2 if number else 0))
        bottom = round((number + 1) * pitch - (gap / 2 if number < SLATS - 1 else 0))
        mask = rings(width, bottom - top, LENGTH_MM / width, seen.late_share, seed * 7 + number)
        slat = (1 - mask[..., None]) * early + mask[..., None] * late
        # lightness moves by one spread within the board; a factor on XYZ keeps its hue
        lightness = (
            116 * np.cbrt(max(float((1 - seen.late_share) * early[1] + seen.late_share * late[1]), 1e-4)) - 16
        )
        factor = ((lightness + spread * seen.spread_de + 16) / (lightness + 16)) ** 3
        picture[top:bottom] = slat * factor
    return picture


def rings(width: int, height: int, mm_per_px: float, late_share: float, seed: int) -> Floats:
    """Late-wood mask in 0..1 of a flat-sawn face, (height, width); its mean is brought to ``late_share``."""
    random = np.random.default_rng(seed)
    along = np.arange(width) * mm_per_px
    across = (np.arange(height) - height / 2) * mm_per_px
    pith_below, pith_aside = random.uniform(18, 45), random.uniform(-14, 14)
    drift = sum(
        random.uniform(0.3, 1.0) * wave / 80 * np.sin(along / wave * 2 * np.pi + random.uniform(0, 6.28))
        for wave in (520.0, 210.0, 90.0)
    )
    radius = np.hypot(across[:, None] - pith_aside + 2.5 * drift, pith_below + 3.5 * drift - 0.02 * along)
    wobble = 1 + 0.18 * np.sin(radius / 5.3 + random.uniform(0, 6.28))
    phase = (radius / 2.6 * wobble) % 1.0
    edge = np.quantile(phase, 1 - late_share)
    mask: Floats = 1 / (1 + np.exp(-(phase - edge) / 0.05))
    return mask
