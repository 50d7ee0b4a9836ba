"""From a published CIELAB to one smooth spectrum, and to the two zones of a timber's figure.

The law. K/S of wood falls smoothly over the visible range, so

    K/S(l) = floor + exp(p0 + p1 u + p2 u^2),   u = (l - 550 nm) / 100 nm,

with three parameters for the three numbers of a CIELAB, and R = R_inf(K/S). For timber u is held at the
parabola's vertex beyond it, so that R rises monotonically as it does in wood; cloth and paint use the free
parabola. It is the idea of Jakob & Hanika (2019), a smooth function of a quadratic, moved from R to K/S,
where R stays within 0..1 by itself and stain adds directly.
"""

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np

from finishes.catalogue.constants import FigureEntry, PublishedLab, Spectrum
from finishes.cielab import lab
from finishes.kubelka import infinite
from finishes.lamps import lamp, observer_10_degree_weights
from finishes.spectra import WAVELENGTHS_NM, Floats, frozen

_U: Floats = (WAVELENGTHS_NM - 550.0) / 100.0


class NoSpectrumError(ValueError):
    """No smooth spectrum has this CIELAB: it lies outside what a matt surface can show."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Zones:
    """Bare reflectances, (41,) each: ``mean = (1 - late_share) early + late_share late``, exactly."""

    mean: Floats
    early: Floats
    late: Floats
    knot: Floats
    late_share: float


def bare(
    lab: PublishedLab | None,
    spectrum: Spectrum | None,
    *,
    floor: float | None = None,
    cache_dir: Path | None = None,
) -> Floats:
    """(41,) reflectance of an entry that has either a CIELAB or a spectrum; ``floor`` as for :func:`fit`."""
    if spectrum is not None:
        return spectrum.values
    if lab is None:
        raise ValueError("neither a CIELAB nor a spectrum is given")
    return fit((lab.L, lab.a, lab.b), lab.illuminant, lab.observer_deg, floor=floor, cache_dir=cache_dir)


@lru_cache(maxsize=512)
def fit(
    target: tuple[float, float, float],
    illuminant: str = "D65",
    observer_deg: int = 2,
    *,
    floor: float | None = None,
    cache_dir: Path | None = None,
) -> Floats:
    """(41,) the law's spectrum whose CIELAB under this illuminant and observer is ``target``.

    floor : K/S that wood keeps in the far red (without one, R(780 nm) of spruce would reach 0.96); None is
        for
    cloth and paint, which need not rise towards red.

    Damped Newton on the three parameters; round trip below 1e-6 in each channel. Raises NoSpectrumError when
    no spectrum of the law reaches the target.
    """
    weights = _weights(illuminant, observer_deg, cache_dir)
    white, goal = weights.sum(axis=0), np.array(target)
    at_nodes = np.array([-1.0, 0.0 if floor is None else -1.0, 0.0 if floor is None else -0.05])
    parameters = _start(at_nodes, target[0])
    error = lab(_law(parameters, floor) @ weights, white) - goal
    for _ in range(60):
        if np.abs(error).max() < 1e-9:
            break
        jacobian = np.empty((3, 3))
        for column in range(3):
            step = np.zeros(3)
            step[column] = 1e-6
            jacobian[:, column] = (lab(_law(parameters + step, floor) @ weights, white) - goal - error) / 1e-6
        try:
            direction = np.linalg.solve(jacobian, error)
        except np.linalg.LinAlgError:
            break
        direction *= min(1.0, 2.0 / max(float(np.abs(direction).max()), 1e-12))
        for halving in range(12):
            trial = parameters - direction * 0.5**halving
            trial_error = lab(_law(trial, floor) @ weights, white) - goal
            if trial_error @ trial_error < error @ error:
                break
        parameters, error = trial, trial_error
    if np.abs(error).max() > 1e-6:
        shown = ", ".join(f"{value:g}" for value in target)
        raise NoSpectrumError(
            f"no smooth reflectance has the CIELAB {shown} under {illuminant}/{observer_deg}°"
        )
    return frozen(_law(parameters, floor))


def zones(mean: Floats, figure: FigureEntry, *, floor: float, cache_dir: Path | None = None) -> Zones:
    """The two zones of the figure round a bare mean spectrum.

    The zones' colours are offsets in CIELAB (D65, 2°) from the mean's; both spectra are then scaled together,
    wavelength by wavelength, so that their area mean is the mean spectrum itself.
    """
    light = lamp("D65", cache_dir=cache_dir)
    centre = lab(mean @ light.weights, light.white_xyz)
    pair = []
    for zone in (figure.early, figure.late, figure.knot or figure.early):
        shifted = tuple(float(value) for value in centre + np.array([zone.d_lightness, zone.d_a, zone.d_b]))
        pair.append(fit((shifted[0], shifted[1], shifted[2]), floor=floor, cache_dir=cache_dir))
    mixed = (1.0 - figure.late_share) * pair[0] + figure.late_share * pair[1]
    scale = mean / mixed
    return Zones(
        mean=mean,
        early=frozen(pair[0] * scale),
        late=frozen(pair[1] * scale),
        knot=frozen(pair[2] * scale),
        late_share=figure.late_share,
    )


def _start(at_nodes: Floats, lightness: float) -> Floats:
    """Begin at the right lightness: K/S of the wanted luminance at 550 nm."""
    luminance = ((lightness + 16.0) / 116.0) ** 3
    ratio = max((1.0 - luminance) ** 2 / (2.0 * luminance), 1e-4)
    return np.array([np.log(ratio), *at_nodes[1:]])


def _law(parameters: Floats, floor: float | None) -> Floats:
    p0, p1, p2 = parameters
    u = _U
    if floor is not None and p2 != 0.0:
        vertex = -p1 / (2.0 * p2)
        u = np.minimum(u, vertex) if p2 > 0.0 else np.maximum(u, vertex)
    exponent = np.clip(p0 + p1 * u + p2 * u * u, -30.0, 30.0)
    return infinite((floor or 0.0) + np.exp(exponent))


@lru_cache(maxsize=16)
def _weights(illuminant: str, observer_deg: int, cache_dir: Path | None) -> Floats:
    if observer_deg == 10:
        return observer_10_degree_weights(illuminant, cache_dir=cache_dir)
    return lamp(illuminant, cache_dir=cache_dir).weights
