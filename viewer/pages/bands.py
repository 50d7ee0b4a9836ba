"""The band of a finish: three slats of its own board, palest, mean and deepest, over its backing.

::

    ████████████████████   palest: mean lightness + one spread
    ░░░░ backing ░░░░░░░
    ████████████████████   the mean
    ░░░░░░░░░░░░░░░░░░░░
    ████████████████████   deepest: mean − one spread

The figure is the one that the stills draw (meshes.grain), on slats 44 mm wide lying on their side.
"""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from finishes.adaptation import adapted_srgb
from finishes.appearance import Appearance
from meshes.grain import late_wood
from meshes.stems import Figure, stems

Floats = NDArray[np.float64]

SPREAD = (1.0, 0.0, -1.0)
SLAT_MM, DEPTH_MM, GAP_MM = 44.0, 20.0, 7.0
WIDTH, HEIGHT = 480, 148
"""Pixels; twice what the page shows."""
GAP_LIGHT = 0.4
"""Share of the light that reaches the backing between slats so near to each other (drawn, not solved)."""


def band_png(seen: Appearance, figure: Figure | None, weights: Floats, white: Floats) -> bytes:
    """PNG of the band. ``weights`` : (41, 3) reflectance to XYZ under a light, ``white`` its XYZ."""
    encoded = np.round(adapted_srgb(_xyz(seen, figure, weights), white) * 255).astype(np.uint8)
    file = io.BytesIO()
    Image.fromarray(encoded).save(file, "PNG", optimize=True)
    return file.getvalue()


def _xyz(seen: Appearance, figure: Figure | None, weights: Floats) -> Floats:
    early, late = (zone @ weights for zone in seen.zones["slat_front"])
    fabric = seen.reflectance["fabric"] @ weights
    picture = np.broadcast_to(fabric * GAP_LIGHT, (HEIGHT, WIDTH, 3)).copy()
    px_per_mm = HEIGHT / (len(SPREAD) * SLAT_MM + (len(SPREAD) - 1) * GAP_MM)
    rows = round(SLAT_MM * px_per_mm)
    mean = 116 * np.cbrt(((1 - seen.late_share) * early + seen.late_share * late)[1]) - 16
    for number, spread in enumerate(SPREAD):
        top = round(number * (SLAT_MM + GAP_MM) * px_per_mm)
        mask = _mask(figure, number, rows, px_per_mm) if figure else np.full((rows, WIDTH), seen.late_share)
        # lightness moves by one spread; one factor on XYZ keeps hue and saturation
        factor = ((mean + spread * seen.spread_de + 16) / (mean + 16)) ** 3
        late_share = mask[..., None]
        picture[top : top + rows] = ((1 - late_share) * early + late_share * late) * factor
    return picture


def _mask(figure: Figure, slat: int, rows: int, px_per_mm: float) -> NDArray[np.float32]:
    """(rows, WIDTH) late wood of one slat's front, lying on its side."""
    across, along = np.meshgrid(
        (np.arange(rows) + 0.5) / px_per_mm - SLAT_MM / 2, 900 + np.arange(WIDTH) / px_per_mm, indexing="ij"
    )
    place = np.stack([across, np.full_like(across, DEPTH_MM), along], axis=-1).reshape(-1, 3)
    side = 1 / px_per_mm
    spread = np.broadcast_to(np.array([[0, 0, side], [side, 0, 0]], np.float32), (len(place), 2, 3))
    grown = stems(len(SPREAD), SLAT_MM, DEPTH_MM, figure)
    number = np.full(len(place), slat, np.int32)
    return late_wood(grown, number, place.astype(np.float32), spread).reshape(rows, WIDTH)
