"""A finish as a band, never as a flat chip: the colours of its figure and how far one board strays."""

from dataclasses import dataclass

import numpy as np

from finishes.adaptation import D65_XYZ, FULL, RGB_FROM_XYZ, adaptation_matrix, encode_srgb
from finishes.appearance import Appearance
from finishes.cielab import lab, xyz_from_lab
from finishes.lamps import LampSpectrum
from finishes.spectra import Floats, frozen
from finishes.tagged import State

STRAY = (-1.0, 0.0, 1.0)
"""Standard spreads at which each zone is given: darker, as it is, lighter."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Band:
    """Ready to draw.

    zones_srgb : (2, 3, 3) encoded sRGB, 0..1: [early, late] by [darker, as it is, lighter].
    zones_lab : (2, 3, 3) the same as CIELAB against D65; mean_lab : (3,) of the whole board.
    late_share : area of late wood. knot_srgb : (3,), or None.
    uncertainty_de : of the board's mean, CIEDE2000, one standard uncertainty.
    """

    zones_srgb: Floats
    zones_lab: Floats
    mean_lab: Floats
    mean_srgb: Floats
    knot_srgb: Floats | None
    late_share: float
    uncertainty_de: float
    state: State

    @property
    def words(self) -> str:
        """``Indicative, give or take 3``: what stands beside the band."""
        return f"{self.state}, give or take {self.uncertainty_de:.0f}"


def band(
    appearance: Appearance, light: LampSpectrum, *, surface: str = "slat_front", degree: float = FULL
) -> Band:
    """The band of one slat surface under one lamp, adapted to the screen's white.

    The spread within a board lies mostly in lightness (the papers give it as a CIELAB difference), so it is
    drawn as that much darker and lighter.
    """
    early, late = appearance.zones[surface]
    added = appearance.seen(surface) - appearance.reflectance[surface]
    knot = appearance.knot if appearance.knot is not None else early
    spectra = np.stack([early, late, appearance.reflectance[surface], knot]) + added
    matrix = adaptation_matrix(light.white_xyz, D65_XYZ, degree)
    labs = lab(spectra @ light.weights @ matrix.T, D65_XYZ)
    strayed = np.repeat(labs[:2, None], len(STRAY), axis=1)
    strayed[..., 0] = np.clip(strayed[..., 0] + np.array(STRAY) * appearance.spread_de, 0.0, 100.0)
    return Band(
        zones_srgb=frozen(_srgb(strayed)),
        zones_lab=frozen(strayed),
        mean_lab=frozen(labs[2]),
        mean_srgb=frozen(_srgb(labs[2])),
        knot_srgb=frozen(_srgb(labs[3])) if appearance.knot is not None else None,
        late_share=appearance.late_share,
        uncertainty_de=appearance.uncertainty_under(light),
        state=appearance.state,
    )


def _srgb(labs: Floats) -> Floats:
    return encode_srgb(xyz_from_lab(labs, D65_XYZ) @ RGB_FROM_XYZ.T)
