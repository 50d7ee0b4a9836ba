"""Lamps as spectra: 41 x 3 weights that turn a reflectance into XYZ by one product.

The CIE data live in colour-science. It is slow to import, so its tables are read once (:mod:`finishes.cie`),
the small weight tables are kept in the user's cache folder, and no CIE table is copied into the project.

Photometry. For a lamp whose light has the relative spectrum s, the weights are normalised so that a perfect
diffuser has Y = 1. A surface under ``E`` lux with reflectance R therefore has the luminance-scaled
tristimulus
``E / pi * (R @ weights)`` in cd/m2: the constant 683 lm/W and the lamp's watts have cancelled.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path

import numpy as np

from finishes.cie import Table, cie_table, lamp_weights
from finishes.spectra import COUNT, FIRST_NM, LAST_NM, Floats, frozen

SPECTRA = (
    "D65",
    "D50",
    "A",
    "FL2",
    "LED-B1",
    "LED-B2",
    "LED-B3",
    "LED-B4",
    "LED-B5",
    "LED-BH1",
    "LED-RGB1",
    "LED-V1",
    "LED-V2",
)
"""The named spectra of CIE 15:2018 that a job file may use."""

MOST_POWER = 1e12
"""In a measured file, whatever its unit: sums stay far from the largest number there is."""
C2_M_K = 1.438776877e-2
"""Second radiation constant hc/k [m K], exact in the SI."""
FILAMENT_K = 2855.5
"""Temperature of CIE A with this constant [K] (CIE 15: 2848 K with the older c2 = 1.435e-2)."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LampSpectrum:
    """One lamp's light, ready to multiply.

    weights : (41, 3): XYZ = R @ weights with Y = 1 for the perfect diffuser. The most exact of the three;
        made from 1 nm observer data and the lamp's own steps, so that narrow peaks are not lost to the 10 nm
        grid.
    white_xyz : (3,): XYZ of the perfect diffuser, Y = 1.
    spd : (41,): relative radiometric power, scaled so that ``sum(spd * observer()[:, 1]) = 1``: one unit of
        luminance. Chosen band by band so that ``spd[:, None] * observer()`` comes nearest to ``weights``.
    """

    name: str
    weights: Floats
    white_xyz: Floats
    spd: Floats


def observer(*, cache_dir: Path | None = None) -> Floats:
    """CIE 1931 2° observer on the 41-value grid, (41, 3), with the 10 nm step multiplied in.

    For a spectrum s with ``sum(s * observer()[:, 1]) = 1`` (one cd/m2), ``s @ observer()`` is its XYZ in
    cd/m2. The values are sums over the 1 nm observer by the same cubic as the weights, not samples.
    """
    return _table(cache_dir).observer


@lru_cache(maxsize=64)
def lamp(spectrum: str, *, cache_dir: Path | None = None) -> LampSpectrum:
    """The lamp of a named spectrum (one of :data:`SPECTRA`); plain words go through ``Catalogue.light``.

    Raises KeyError for a name that is not in :data:`SPECTRA`.
    """
    if spectrum not in SPECTRA:
        raise KeyError(f"{spectrum!r} is not a named spectrum; use one of {', '.join(SPECTRA)}")
    table = _table(cache_dir)
    return _lamp(spectrum, table.weights[spectrum], table)


def observer_10_degree_weights(spectrum: str, *, cache_dir: Path | None = None) -> Floats:
    """(41, 3) weights for the CIE 1964 10° observer: for reading published colours measured with it."""
    return _table(cache_dir).weights_10_degree[spectrum]


def chart_xyz(vintage: str, *, cache_dir: Path | None = None) -> Floats:
    """(24, 3) XYZ under D50 of a 24-patch chart; ``vintage`` is a key of ``cie.CHART_VINTAGES``."""
    return _table(cache_dir).charts[vintage]


@lru_cache(maxsize=64)
def measured_lamp(name: str, text: str, *, cache_dir: Path | None = None) -> LampSpectrum:
    """A lamp from a spectrometer's CSV: two columns, wavelength [nm] and relative power, any step up to 20
    nm.

    Lines that start with # and one heading line are passed over. Raises ValueError with every problem, each
    with its line, when the data have gaps, fall outside 0..∞, or do not cover 380..780 nm.
    """
    wavelengths, powers = _read_csv(text)
    table = _table(cache_dir)
    fine = np.arange(FIRST_NM, LAST_NM + 1, dtype=np.float64)
    return _lamp(name, lamp_weights(np.interp(fine, wavelengths, powers), table.observer_1_nm), table)


def planckian(name: str, kelvin: float, *, cache_dir: Path | None = None) -> LampSpectrum:
    """A black body at this temperature [K], 1000 to 40000 (Planck's law with c2 = hc/k of the SI)."""
    if not 1000.0 <= kelvin <= 40_000.0:
        raise ValueError(f"colour temperature is {kelvin:g} K; it must lie from 1000 to 40000 K")
    table = _table(cache_dir)
    metres = np.arange(FIRST_NM, LAST_NM + 1, dtype=np.float64) * 1e-9
    power = (560e-9 / metres) ** 5 / np.expm1(C2_M_K / (metres * kelvin))
    return _lamp(name, lamp_weights(power, table.observer_1_nm), table)


@lru_cache(maxsize=64)
def dimmed_filament(name: str, share: float, *, cache_dir: Path | None = None) -> LampSpectrum:
    """A filament lamp at a share of its full light, above 0 up to 1: it grows warmer as it is dimmed.

    Flux follows about the 3.4th power of the voltage and colour temperature its 0.42nd (common practice), so
    T = 2856 K * share^(0.42 / 3.4). At full light this is CIE A.
    """
    if not 0.0 < share <= 1.0:
        raise ValueError(f"dimmed to {share:g}; it must lie above 0 and up to 1")
    if share == 1.0:
        return replace(lamp("A", cache_dir=cache_dir), name=name)
    return planckian(name, FILAMENT_K * share ** (0.42 / 3.4), cache_dir=cache_dir)


def mixed(name: str, lamps: Sequence[tuple[LampSpectrum, float]]) -> LampSpectrum:
    """The light of several lamps at one place.

    lamps : (lamp, its illuminance there), each 0 or more and at least one above.
    """
    total = sum(amount for _, amount in lamps)
    if not total > 0.0 or any(amount < 0.0 for _, amount in lamps):
        raise ValueError("lamps: at least one must give light, and none less than nothing")
    weights = sum((light.weights * (amount / total) for light, amount in lamps), start=np.zeros((COUNT, 3)))
    spd = sum((light.spd * (amount / total) for light, amount in lamps), start=np.zeros(COUNT))
    return LampSpectrum(
        name=name, weights=frozen(weights), white_xyz=frozen(weights.sum(axis=0)), spd=frozen(spd)
    )


def _lamp(name: str, weights: Floats, table: Table) -> LampSpectrum:
    target = table.observer
    spd = (weights * target).sum(axis=1) / (target * target).sum(axis=1)
    spd = np.maximum(spd, 0.0)
    spd /= spd @ target[:, 1]
    return LampSpectrum(name=name, weights=weights, white_xyz=frozen(weights.sum(axis=0)), spd=frozen(spd))


@lru_cache(maxsize=4)
def _table(cache_dir: Path | None) -> Table:
    return cie_table(SPECTRA, cache_dir)


def _read_csv(text: str) -> tuple[Floats, Floats]:
    rows: list[tuple[float, float]] = []
    problems: list[str] = []
    heading_allowed = True
    for line, written in enumerate(text.splitlines(), start=1):
        # two bare numbers a line: quotes and the rest of CSV never stand in a spectrometer's file
        cells = [cell.strip().strip('"') for cell in written.split(",")]
        if not any(cells) or cells[0].startswith("#"):
            continue
        try:
            if len(cells) != 2:
                raise ValueError
            wavelength, power = float(cells[0]), float(cells[1])
        except ValueError:
            if not heading_allowed:
                problems.append(f"line {line}: {written[:80]!r} is not 'wavelength,power'")
            heading_allowed = False
            continue
        heading_allowed = False
        if not np.isfinite(wavelength):
            problems.append(f"line {line}: {wavelength:g} is no wavelength")
        if not 0 <= power <= MOST_POWER:
            problems.append(
                f"line {line}: power {power:g} at {wavelength:g} nm; it must lie from 0 to {MOST_POWER:g}"
            )
        if rows and not 0 < wavelength - rows[-1][0] <= 20:
            problems.append(
                f"line {line}: {wavelength:g} nm follows {rows[-1][0]:g} nm; wavelengths must rise in steps "
                "of at most 20 nm (no gaps)"
            )
        rows.append((wavelength, power))
    if not rows or rows[0][0] > FIRST_NM or rows[-1][0] < LAST_NM:
        reach = f"{rows[0][0]:g} to {rows[-1][0]:g} nm" if rows else "nothing"
        problems.append(f"covers {reach}; {FIRST_NM} to {LAST_NM} nm are needed")
    if not problems and max(power for _, power in rows) <= 0:
        problems.append("has no light in it: every power is 0")
    if problems:
        raise ValueError("\n".join(problems))
    return np.array([row[0] for row in rows]), np.array([row[1] for row in rows])
