"""The band of a finish: three slats of its own board, palest, mean and deepest, over its backing.

::

    ████████████████████   palest: one spread lighter
    ░░░░ backing ░░░░░░░
    ████████████████████   the mean
    ░░░░░░░░░░░░░░░░░░░░
    ████████████████████   deepest: one spread darker

The figure is the one that the stills draw (meshes.grain), on slats 44 mm wide lying on their side.
"""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from finishes.adaptation import adapted_srgb, decode_srgb, encode_srgb
from finishes.appearance import Appearance
from finishes.band import STRAY, band
from finishes.lamps import LampSpectrum
from meshes.grain import late_wood
from meshes.stems import Figure, stems

Floats = NDArray[np.float64]

SLAT_MM, DEPTH_MM, GAP_MM = 44.0, 20.0, 7.0
WIDTH, HEIGHT = 480, 148
"""Pixels; twice what the page shows."""
GAP_LIGHT = 0.4
"""Share of the light that reaches the backing between slats so near to each other (drawn, not solved)."""
START_MM = 900.0
"""Where along its stem the band is cut."""


def band_png(seen: Appearance, figure: Figure | None, light: LampSpectrum) -> bytes:
    """PNG of the band of a finish under a light; without ``figure`` the mean of its zones."""
    zones = decode_srgb(band(seen, light).zones_srgb)
    fabric = seen.reflectance["fabric"] @ light.weights * GAP_LIGHT
    picture = np.broadcast_to(decode_srgb(adapted_srgb(fabric, light.white_xyz)), (HEIGHT, WIDTH, 3)).copy()
    px_per_mm = HEIGHT / (len(STRAY) * SLAT_MM + (len(STRAY) - 1) * GAP_MM)
    rows = round(SLAT_MM * px_per_mm)
    for number, stray in enumerate(reversed(range(len(STRAY)))):
        top = round(number * (SLAT_MM + GAP_MM) * px_per_mm)
        share = _mask(figure, number, rows, px_per_mm) if figure else np.full((rows, WIDTH), seen.late_share)
        early, late = zones[:, stray]
        picture[top : top + rows] = early + share[..., None] * (late - early)
    file = io.BytesIO()
    Image.fromarray(np.round(encode_srgb(picture) * 255).astype(np.uint8)).save(file, "PNG", optimize=True)
    return file.getvalue()


def _mask(figure: Figure, slat: int, rows: int, px_per_mm: float) -> NDArray[np.float32]:
    """(rows, WIDTH) late wood of one slat's front, lying on its side."""
    across, along = np.meshgrid(
        (np.arange(rows) + 0.5) / px_per_mm - SLAT_MM / 2,
        START_MM + np.arange(WIDTH) / px_per_mm,
        indexing="ij",
    )
    place = np.stack([across, np.full_like(across, DEPTH_MM), along], axis=-1).reshape(-1, 3)
    side = 1 / px_per_mm
    spread = np.broadcast_to(np.array([[0, 0, side], [side, 0, 0]], np.float32), (len(place), 2, 3))
    grown = stems(len(STRAY), SLAT_MM, DEPTH_MM, figure)
    number = np.full(len(place), slat, np.int32)
    return late_wood(grown, number, place.astype(np.float32), spread).reshape(rows, WIDTH)
