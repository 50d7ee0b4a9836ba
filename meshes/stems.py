"""The virtual stems that slats are cut from: how timbers grow, and the numbers of each stem."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

Cut = Literal["flat", "quarter"]
Kind = Literal["softwood", "softwood, strong late wood", "ring-porous", "diffuse-porous"]
Knots = Literal["clear", "small sound knots", "all knots"]
Reals = NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Growth:
    """How a kind of timber grows (all common practice, chosen by eye from typical boards).

    ring_mm : narrowest and widest mean ring width of a stem [mm]; blend : half width of the change from early
    to late wood, as a share of the smaller zone; streak : share of the mask's contrast that goes to streaks
    of fibres and pores; streak_mm : their width and length.
    """

    ring_mm: tuple[float, float]
    blend: float
    streak: float
    streak_mm: tuple[float, float]


GROWTH: dict[Kind, Growth] = {
    "softwood": Growth(ring_mm=(1.8, 3.8), blend=0.95, streak=0.15, streak_mm=(1.0, 70.0)),
    "softwood, strong late wood": Growth(ring_mm=(2.2, 4.6), blend=0.45, streak=0.12, streak_mm=(1.0, 70.0)),
    "ring-porous": Growth(ring_mm=(1.6, 3.4), blend=0.30, streak=0.50, streak_mm=(0.6, 11.0)),
    "diffuse-porous": Growth(ring_mm=(1.5, 3.2), blend=1.0, streak=0.25, streak_mm=(0.5, 6.0)),
}

KNOT_SPACING_MM = 420.0
"""At most one knot in each such length (common practice: whorls of conifers stand 300-600 mm apart)."""

KNOTS: dict[Knots, tuple[float, float, float]] = {
    # share of lengths that hold a knot, smallest and largest radius on the face [mm] (common practice)
    "clear": (0.0, 0.0, 0.0),
    "small sound knots": (0.28, 2.0, 5.0),
    "all knots": (0.55, 3.0, 12.0),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """What decides the figure. late_share : mean of the mask, 0.05 to 0.95; seed : which stems."""

    kind: Kind = "softwood"
    late_share: float = 0.3
    cut: Cut = "flat"
    knots: Knots = "clear"
    seed: int = 1


PARAMETERS = (
    "pith_s", "pith_d", "slope_s", "slope_d", "taper", "ring_mm", "start", "wave_1", "wave_2", "phase_1",
    "phase_2", "warp_1", "warp_2", "share", "key", "front_d",
)  # fmt: skip
"""Columns of ``Stems.numbers``: the uniform array of the orbit view's shader has the same order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stems:
    """One stem a slat. numbers : (slats, 16) float32, columns as in PARAMETERS; lengths in mm."""

    figure: Figure
    numbers: Reals


def stems(count: int, width_mm: float, depth_mm: float, figure: Figure) -> Stems:
    """The stems that ``count`` slats of one section are cut from; the same numbers for the same seed."""
    growth = GROWTH[figure.kind]
    rng = np.random.default_rng([figure.seed, 77])
    numbers = rng.random((count, len(PARAMETERS))).astype(np.float32)
    u = {name: numbers[:, column].copy() for column, name in enumerate(PARAMETERS)}
    sign_s = np.where(u["key"] < 0.5, -1, 1)
    sign_d = np.where(u["share"] < 0.75, -1, 1)  # the heart side is mostly turned to the wall
    if figure.cut == "flat":
        pith_s = (u["pith_s"] - 0.5) * 1.5 * width_mm
        pith_d = depth_mm / 2 + sign_d * (40 + 110 * u["pith_d"])
    else:
        pith_s = sign_s * (width_mm / 2 + 50 + 110 * u["pith_s"])
        pith_d = depth_mm / 2 + (u["pith_d"] - 0.5) * 60
    low, high = growth.ring_mm
    made = {
        "pith_s": pith_s,
        "pith_d": pith_d,
        "slope_s": (u["slope_s"] - 0.5) * 0.012,
        "slope_d": (u["slope_d"] - 0.5) * 0.010,
        "taper": (0.006 + 0.012 * u["taper"]) * sign_s,
        "ring_mm": low * (high / low) ** u["ring_mm"],
        "start": 500 * u["start"],
        "wave_1": 1 / (700 + 900 * u["wave_1"]),
        "wave_2": 1 / (190 + 240 * u["wave_2"]),
        "phase_1": u["phase_1"],
        "phase_2": u["phase_2"],
        "warp_1": u["warp_1"],
        "warp_2": u["warp_2"],
        "share": figure.late_share * (1 + 0.16 * _even(count, rng)),
        "key": rng.integers(1, 1 << 20, count),
        "front_d": np.full(count, depth_mm),
    }
    for column, name in enumerate(PARAMETERS):
        numbers[:, column] = made[name]
    return Stems(figure=figure, numbers=numbers)


def _even(count: int, rng: np.random.Generator) -> NDArray[np.float64]:
    """Evenly spread values in (-1, 1) in random order: their mean is 0 for any number of slats."""
    return rng.permutation((2 * np.arange(count) + 1 - count) / max(count, 1))
