"""A measured off-cut, second half: from its colour to a spectrum, and to the entry that is kept.

The photograph gives three numbers, the model gives the shape of the spectrum: the modelled K/S is multiplied
by exp(a + b u + c u^2), u = (l - 550 nm) / 100 nm, and the three unknowns are solved so that the XYZ is met
exactly.
"""

import tomllib
from typing import TYPE_CHECKING

import numpy as np

from finishes.appearance import appearance
from finishes.catalogue import Catalogue
from finishes.chart_fit import RefusedError
from finishes.choice import OffCut
from finishes.kubelka import infinite, ratio_ks
from finishes.lamps import lamp
from finishes.sample import Reading
from finishes.spectra import WAVELENGTHS_NM, Floats, frozen
from finishes.tone import tone_of

if TYPE_CHECKING:
    from finishes.choice import Finish


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
            [("finish", "No spectrum like the model's has this colour: check which finish the off-cut has.")]
        )
    return frozen(spectrum(unknowns))


def measured(
    name: str, reading: Reading, finish: "Finish", catalogue: Catalogue, *, date: str, lamp_name: str
) -> OffCut:
    """The measured off-cut, made of this finish on that day under that lamp.

    date : as 2026-11-20; lamp_name : what lit the photograph, in plain words. What was measured for the
    finish before is passed over. Keep it in ``Finish.off_cut``, or in a catalogue
    folder with :func:`with_sample`.
    Raises RefusedError when no spectrum like the model's has this colour.
    """
    plain = finish.model_copy(update={"sample": "", "off_cut": None})
    values = edit_to_xyz(appearance(plain, catalogue).seen("slat_front"), reading.xyz_d65, catalogue)
    return OffCut(
        name=name,
        timber=catalogue.named("timber", finish.timber).name,
        tone=tone_of(finish, catalogue).name,
        coats=finish.coats,
        between_coats=finish.between_coats,
        faces=finish.faces,
        topcoat=catalogue.named("topcoat", finish.topcoat).name,
        date=date,
        lamp=lamp_name,
        reflectance=tuple(round(float(value), 6) for value in values),
        uncertainty_de=round(reading.uncertainty_de, 3),
        rough=reading.rough,
        read_from=f"{reading.words}, {date}",
    )


def entry_toml(off_cut: OffCut) -> str:
    """The off-cut as a block for a catalogue folder; reading it back gives the same entry."""

    def text(value: str) -> str:
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return '"' + "".join(c if c >= " " and c != "\x7f" else f"\\u{ord(c):04x}" for c in escaped) + '"'

    values = ", ".join(f"{value:.6f}" for value in off_cut.reflectance)
    # in a catalogue file a source of one word is a key of its [sources]
    source = off_cut.read_from if " " in off_cut.read_from.strip() else f"photograph of {off_cut.date}"
    return (
        "[[sample]]\n"
        f"name = {text(off_cut.name)}\n"
        f"timber = {text(off_cut.timber)}\n"
        f"tone = {text(off_cut.tone)}\n"
        f"coats = {off_cut.coats}\n"
        f"between_coats = {text(off_cut.between_coats)}\n"
        f"faces = {text(off_cut.faces)}\n"
        f"topcoat = {text(off_cut.topcoat)}\n"
        f"date = {text(off_cut.date)}\n"
        f"lamp = {text(off_cut.lamp)}\n"
        f'reflectance = {{ values = [{values}], source = {text(source)}, tag = "measured" }}\n'
        f"uncertainty_de = {off_cut.uncertainty_de:.3f}\n"
        f"rough = {'true' if off_cut.rough else 'false'}\n"
        'words = ""\n'
    )


def with_sample(text: str, off_cut: OffCut) -> str:
    """A catalogue file with this off-cut added at its end; what stood there stays as it was written.

    text : of the file, empty for a new one. Raises ValueError for a file that is no TOML, or that holds an
    off-cut of that name already: an agreed off-cut is not measured away.
    """
    try:
        held = tomllib.loads(text).get("sample", [])
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"is not TOML: {error}") from error
    if any(isinstance(one, dict) and one.get("name") == off_cut.name for one in held):
        raise ValueError(f"holds a sample {off_cut.name!r} already; give this off-cut another name")
    before = f"{text.rstrip()}\n\n" if text.strip() else ""
    return before + entry_toml(off_cut)
