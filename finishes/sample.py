"""A measured sample: from photographs of a stained off-cut to its reflectance, with an honest uncertainty.

The photograph gives three numbers, XYZ under daylight. The model gives the shape of the spectrum: the
modelled K/S is multiplied by exp(a + b u + c u^2), u = (l - 550 nm) / 100 nm, and the three unknowns are
solved so that the XYZ is met exactly. Only the mean over the off-cut is used: a photograph is never split
into bands of colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np

from finishes.adaptation import D65_XYZ, XYZ_FROM_RGB, decode_srgb
from finishes.appearance import appearance
from finishes.catalogue import Catalogue
from finishes.catalogue.constants import Spectrum
from finishes.catalogue.entries import SampleEntry
from finishes.chart_fit import RefusedError, fit_chart
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.kubelka import infinite, ratio_ks
from finishes.lamps import lamp
from finishes.photo import Corners, Photo, homography, sample_region
from finishes.spectra import WAVELENGTHS_NM, Floats, frozen
from finishes.tone import tone_of

if TYPE_CHECKING:
    from finishes.choice import Finish

GREY_CARD_Y = 0.18
CLIPPED_SHARE = 0.01


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
class Reading:
    """What the photographs give: XYZ under D65 (Y = 1), CIELAB, one standard uncertainty (CIEDE2000)."""

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
    if not shots:
        raise ValueError("shots: at least one photograph is needed")
    readings, left_out, reasons = [], [], []
    for number, shot in enumerate(shots, start=1):
        where = f"Photograph {number}: " if len(shots) > 1 else ""
        try:
            xyz, error = _one(shot, catalogue)
        except RefusedError as refused:
            reasons += [f"{where}{reason}" for reason in refused.reasons]
        else:
            readings.append(xyz)
            left_out.append(error)
    if reasons:
        raise RefusedError(reasons)
    rough = any(shot.chart is None for shot in shots)
    mean = np.mean(readings, axis=0)
    labs = lab(np.stack(readings), D65_XYZ)
    between = float(ciede2000(labs, lab(mean, D65_XYZ)).max()) if len(shots) > 1 else 0.0
    board = catalogue.constant("within-board spread") * 0.75
    photo = (
        catalogue.constant("grey card spread")
        if rough
        else max(float(np.mean(left_out)), catalogue.constant("photo spread"))
    )
    how = "a grey card (rough)" if rough else f"a 24-patch chart, left-out error {np.mean(left_out):.1f}"
    plural = "photograph" if len(shots) == 1 else f"{len(shots)} photographs"
    return Reading(
        xyz_d65=frozen(mean),
        lab_d65=frozen(lab(mean, D65_XYZ)),
        uncertainty_de=sqrt(photo**2 + between**2 + board**2),
        rough=rough,
        words=f"{plural} beside {how}",
    )


def _one(shot: Shot, catalogue: Catalogue) -> tuple[Floats, float]:
    """XYZ under D65 of the off-cut in one shot, and the error the chart promises (CIEDE2000)."""
    region = sample_region(shot.photo, homography(shot.off_cut), inside=(0.05, 0.05, 0.95, 0.95), steps=96)
    if region.clipped > CLIPPED_SHARE:
        raise RefusedError(
            ["Clipped in the off-cut: photograph it again with another exposure and no reflection on it."]
        )
    if shot.chart is not None:
        fit = fit_chart(shot.photo, shot.chart, shot.vintage, cache_dir=catalogue.cache_dir)
        xyz = fit.xyz(region.points).mean(axis=0)
        error = fit.left_out_de
    elif shot.card is not None:
        card = sample_region(shot.photo, homography(shot.card), inside=(0.1, 0.1, 0.9, 0.9), steps=48)
        if card.clipped > CLIPPED_SHARE:
            raise RefusedError(["Clipped in the grey card: photograph it again with less exposure."])
        if not 0.01 <= shot.card_y <= 0.99:
            raise ValueError(f"card_y is {shot.card_y:g}; it must lie from 0.01 to 0.99")
        white_balanced = decode_srgb(region.points) / decode_srgb(card.points).mean(axis=0) * shot.card_y
        xyz = (white_balanced @ XYZ_FROM_RGB.T).mean(axis=0)
        error = catalogue.constant("grey card spread")
    else:
        raise ValueError("a shot needs the corners of a chart or of a grey card")
    if not ((xyz > 0.001) & (xyz < 1.2)).all():
        raise RefusedError(
            ["The off-cut comes out brighter than white or blacker than black: check its corners."]
        )
    return xyz, error


def edit_to_xyz(model: Floats, xyz_d65: Floats, catalogue: Catalogue) -> Floats:
    """The modelled spectrum moved so that its XYZ under D65 is ``xyz_d65``.

    model : (41,) in 0..1; xyz_d65 : (3,), Y = 1 for white. Raises RefusedError when no such spectrum is
        found.
    """
    weights = lamp("D65", cache_dir=catalogue.cache_dir).weights
    u = (WAVELENGTHS_NM - 550.0) / 100.0
    basis = np.stack([np.ones_like(u), u, u * u])
    shape = np.log(ratio_ks(np.clip(model, 1e-4, 0.9999)))

    def spectrum(unknowns: Floats) -> Floats:
        return infinite(np.exp(np.clip(shape + unknowns @ basis, -30.0, 30.0)))

    unknowns = np.zeros(3)
    goal = np.log(xyz_d65)
    error = np.log(spectrum(unknowns) @ weights) - goal
    for _ in range(80):
        if np.abs(error).max() < 1e-10:
            break
        jacobian = np.stack(
            [
                (np.log(spectrum(unknowns + step) @ weights) - goal - error) / 1e-6
                for step in np.eye(3) * 1e-6
            ],
            axis=1,
        )
        direction = np.linalg.lstsq(jacobian, error, rcond=None)[0]
        direction *= min(1.0, 2.0 / max(float(np.abs(direction).max()), 1e-12))
        for halving in range(12):
            trial = unknowns - direction * 0.5**halving
            trial_error = np.log(spectrum(trial) @ weights) - goal
            if trial_error @ trial_error < error @ error:
                break
        unknowns, error = trial, trial_error
    if np.abs(error).max() > 1e-6:
        raise RefusedError(
            ["No spectrum like the model's has this colour: check which finish the off-cut has."]
        )
    return frozen(spectrum(unknowns))


def measured(
    name: str, reading: Reading, finish: "Finish", catalogue: Catalogue, *, date: str, lamp_name: str
) -> SampleEntry:
    """The catalogue entry of a measured off-cut, made of this finish on that day under that lamp.

    date : as 2026-11-20; lamp_name : what lit the photograph, in plain words. The finish's own ``sample`` is
    passed over. Keep the entry with :func:`entry_toml` or ``Catalogue.with_samples``.
    """
    plain = finish.model_copy(update={"sample": ""})
    values = edit_to_xyz(appearance(plain, catalogue).seen("slat_front"), reading.xyz_d65, catalogue)
    return SampleEntry(
        name=name,
        timber=catalogue.named("timber", finish.timber).name,
        tone=tone_of(finish, catalogue).name,
        coats=finish.coats,
        between_coats=finish.between_coats,
        faces=finish.faces,
        topcoat=catalogue.named("topcoat", finish.topcoat).name,
        date=date,
        lamp=lamp_name,
        reflectance=Spectrum(values=values, source=f"{reading.words}, {date}", tag="measured"),
        uncertainty_de=reading.uncertainty_de,
        rough=reading.rough,
        words="",
    )


def entry_toml(entry: SampleEntry) -> str:
    """The entry as a block for a catalogue folder; reading it back gives the same entry."""

    def text(value: str) -> str:
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return '"' + "".join(c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}" for c in escaped) + '"'

    source = text(entry.reflectance.source)
    values = ", ".join(f"{float(value):.6f}" for value in entry.reflectance.values)
    return (
        "[[sample]]\n"
        f"name = {text(entry.name)}\n"
        f"timber = {text(entry.timber)}\n"
        f"tone = {text(entry.tone)}\n"
        f"coats = {entry.coats}\n"
        f"between_coats = {text(entry.between_coats)}\n"
        f"faces = {text(entry.faces)}\n"
        f"topcoat = {text(entry.topcoat)}\n"
        f"date = {text(entry.date)}\n"
        f"lamp = {text(entry.lamp)}\n"
        f'reflectance = {{ values = [{values}], source = {source}, tag = "measured" }}\n'
        f"uncertainty_de = {entry.uncertainty_de:.3f}\n"
        f"rough = {'true' if entry.rough else 'false'}\n"
        f"words = {text(entry.words)}\n"
    )
