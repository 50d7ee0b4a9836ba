"""A measured off-cut, first half: from photographs to its colour, with an honest uncertainty.

A photograph gives three numbers, XYZ under daylight, as the mean over the off-cut: it is never split into
bands of colour. What spectrum they stand for is found in :mod:`finishes.measured`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from pathlib import Path

import numpy as np

from finishes.adaptation import D65_XYZ, XYZ_FROM_RGB, decode_srgb
from finishes.catalogue import Catalogue
from finishes.chart_fit import RefusedError, fit_chart
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.photo import Corners, Photo, homography, sample_region
from finishes.spectra import Floats, frozen

GREY_CARD_Y = 0.18
CLIPPED_SHARE = 0.01
CLIPPED = "Clipped in the off-cut: photograph it again with another exposure and no reflection on it."
CLIPPED_CARD = "Clipped in the grey card: photograph it again with less exposure."
IMPOSSIBLE = "The off-cut comes out brighter than white or blacker than black: check its corners."


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shot:
    """One photograph. off_cut and either chart or card are four corners each in the upright picture.

    vintage : of the chart (``finishes.cie.CHART_VINTAGES``); card_y : luminance factor of the grey card,
        0..1.
    """

    photo: Photo
    off_cut: Corners
    chart: Corners | None = None
    vintage: str = "after November 2014"
    card: Corners | None = None
    card_y: float = GREY_CARD_Y


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ShotReading:
    """What one photograph gives: XYZ of the off-cut under D65 (Y = 1 for white).

    left_out_de : what the chart promises (CIEDE2000); None beside a grey card, which promises nothing.
    """

    xyz_d65: Floats
    left_out_de: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """What all photographs give: XYZ under D65 (Y = 1), CIELAB, one standard uncertainty (CIEDE2000)."""

    xyz_d65: Floats
    lab_d65: Floats
    uncertainty_de: float
    rough: bool
    words: str


def read_shots(shots: Sequence[Shot], catalogue: Catalogue) -> Reading:
    """The off-cut's colour, mean of the shots.

    Raises ``chart_fit.RefusedError`` with every reason (clipped, chart not where it was said, residual too
    large), ``photo.PhotoError`` for impossible corners, ValueError without a shot.
    """
    readings: list[ShotReading] = []
    problems: list[tuple[str, str]] = []
    for number, shot in enumerate(shots, start=1):
        where = f"Photograph {number}: " if len(shots) > 1 else ""
        try:
            readings.append(read_shot(shot, cache_dir=catalogue.cache_dir))
        except RefusedError as refused:
            problems += [(about, f"{where}{reason}") for about, reason in refused.problems]
    if problems:
        raise RefusedError(problems)
    return together(readings, catalogue)


def together(readings: Sequence[ShotReading], catalogue: Catalogue) -> Reading:
    """One reading from those of all shots; where they disagree it is less certain. ValueError without one."""
    if not readings:
        raise ValueError("shots: at least one photograph is needed")
    mean = np.mean([reading.xyz_d65 for reading in readings], axis=0)
    labs = lab(np.stack([reading.xyz_d65 for reading in readings]), D65_XYZ)
    between = float(ciede2000(labs, lab(mean, D65_XYZ)).max()) if len(readings) > 1 else 0.0
    board = catalogue.constant("within-board spread") * 0.75
    left_out = [reading.left_out_de for reading in readings if reading.left_out_de is not None]
    rough = len(left_out) < len(readings)
    photo = (
        catalogue.constant("grey card spread")
        if rough
        else max(float(np.mean(left_out)), catalogue.constant("photo spread"))
    )
    how = "a grey card (rough)" if rough else f"a 24-patch chart, left-out error {np.mean(left_out):.1f}"
    plural = "photograph" if len(readings) == 1 else f"{len(readings)} photographs"
    return Reading(
        xyz_d65=frozen(mean),
        lab_d65=frozen(lab(mean, D65_XYZ)),
        uncertainty_de=sqrt(photo**2 + between**2 + board**2),
        rough=rough,
        words=f"{plural} beside {how}",
    )


def read_shot(shot: Shot, *, cache_dir: Path | None = None) -> ShotReading:
    """The off-cut in one photograph. Raises as :func:`read_shots`."""
    region = sample_region(shot.photo, homography(shot.off_cut), inside=(0.05, 0.05, 0.95, 0.95), steps=96)
    problems = [("off_cut", CLIPPED)] if region.clipped > CLIPPED_SHARE else []
    try:
        xyz, left_out = _seen(shot, region.points, cache_dir)
    except RefusedError as refused:
        raise RefusedError([*problems, *refused.problems]) from None
    if not problems and not ((xyz > 0.001) & (xyz < 1.2)).all():
        problems = [("off_cut", IMPOSSIBLE)]
    if problems:
        raise RefusedError(problems)
    return ShotReading(xyz_d65=frozen(xyz), left_out_de=left_out)


def _seen(shot: Shot, points: Floats, cache_dir: Path | None) -> tuple[Floats, float | None]:
    """(3,) XYZ of these points of the off-cut, and what the chart promises."""
    if shot.chart is not None:
        fit = fit_chart(shot.photo, shot.chart, shot.vintage, cache_dir=cache_dir)
        return fit.xyz(points).mean(axis=0), fit.left_out_de
    if shot.card is not None:
        return _beside_card(shot, shot.card, points), None
    raise ValueError("a shot needs the corners of a chart or of a grey card")


def _beside_card(shot: Shot, corners: Corners, points: Floats) -> Floats:
    """(3,) XYZ by white balance on a grey card, the file taken for sRGB: rough, whatever the camera."""
    card = sample_region(shot.photo, homography(corners), inside=(0.1, 0.1, 0.9, 0.9), steps=48)
    if card.clipped > CLIPPED_SHARE:
        raise RefusedError([("card", CLIPPED_CARD)])
    if not 0.01 <= shot.card_y <= 0.99:
        raise ValueError(f"card_y is {shot.card_y:g}; it must lie from 0.01 to 0.99")
    balanced = decode_srgb(points) / decode_srgb(card.points).mean(axis=0) * shot.card_y
    xyz: Floats = (balanced @ XYZ_FROM_RGB.T).mean(axis=0)
    return xyz
