"""From a photographed 24-patch chart to a camera's way into XYZ under D65.

The chart lies with its brown patch ("dark skin") at the first corner and its six greys along the last edge::

    corner 0  +----+----+----+----+----+----+  corner 1
              | dark skin ...               |
              |                             |
              | white 9.5 ... black 2       |
    corner 3  +----+----+----+----+----+----+  corner 2

1. Undo the camera's curve from the six greys: log Y is a quadratic in the log of the encoded value, per
channel. 2. A 3 x 3 by weighted least squares (weight Y^-1/2) from those linear values to the chart's XYZ
under D65. 3. Leave one patch out, fit again, predict it: the mean error of that is what the photograph is
good for.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import TypeAlias

import numpy as np

from finishes.adaptation import D65_XYZ, adapt
from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.lamps import chart_xyz
from finishes.photo import Corners, Patch, Photo, homography, sample_region
from finishes.spectra import Floats

COLUMNS, ROWS = 6, 4
GREYS = slice(18, 24)
INSIDE = 0.5
"""Middle part of a patch that is sampled: the frame and a small error of the corners stay out."""
D50_XYZ = np.array([0.3457 / 0.3585, 1.0, (1.0 - 0.3457 - 0.3585) / 0.3585])

LARGEST_SPREAD = 0.12
"""Relative spread within a patch from which it is not one patch (judgement: paper and noise stay below)."""
LARGEST_RESIDUAL_DE = 5.0
"""Mean CIEDE2000 of the fit above which a photograph is refused (judgement: simulated phones stay below
3)."""
CLIPPED_SHARE = 0.01

Names: TypeAlias = tuple[str, ...]
PATCHES: Names = (
    *("dark skin", "light skin", "blue sky", "foliage", "blue flower", "bluish green"),
    *("orange", "purplish blue", "moderate red", "purple", "yellow green", "orange yellow"),
    *("blue", "green", "red", "yellow", "magenta", "cyan"),
    *("white", "light grey", "grey 6.5", "grey 5", "dark grey", "black"),
)


class RefusedError(ValueError):
    """The photograph cannot be used.

    problems : (about, reason): about is ``chart``, ``card``, ``off_cut`` or ``finish``; each reason is a
        sentence that says why, and what to do. reasons : the sentences alone.
    """

    def __init__(self, problems: Iterable[tuple[str, str]]) -> None:
        self.problems = tuple(problems)
        self.reasons = tuple(reason for _, reason in self.problems)
        super().__init__("\n".join(self.reasons))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChartFit:
    """curve : (3, 3) log Y = c0 + c1 log v + c2 (log v)^2, a row a channel; matrix : (3, 3) linear to XYZ
        (D65).

    residual_de : mean CIEDE2000 of the 24 patches; left_out_de : the same with each patch left out in turn.
    """

    curve: Floats
    matrix: Floats
    residual_de: float
    left_out_de: float

    def linear(self, encoded: Floats) -> Floats:
        """(..., 3) encoded to linear values, each channel scaled so that the greys have their Y."""
        return _linear(encoded, self.curve)

    def xyz(self, encoded: Floats) -> Floats:
        """(..., 3) encoded values to XYZ under D65, Y = 1 for white."""
        result: Floats = self.linear(encoded) @ self.matrix.T
        return result


def fit_chart(photo: Photo, corners: Corners, vintage: str, *, cache_dir: Path | None = None) -> ChartFit:
    """Fit a camera on a chart. Raises RefusedError with every reason, PhotoError for impossible corners."""
    target = adapt(chart_xyz(vintage, cache_dir=cache_dir), D50_XYZ, D65_XYZ)
    patches = sample_chart(photo, corners)
    reasons = _clipped(patches) or _misplaced(patches)
    if reasons:
        raise RefusedError(("chart", reason) for reason in reasons)
    encoded = np.stack([patch.middle for patch in patches])
    curve = _curve(encoded[GREYS], target[GREYS, 1])
    linear = _linear(encoded, curve)
    matrix = _matrix(linear, target)
    goal = lab(target, D65_XYZ)
    residual = float(ciede2000(lab(linear @ matrix.T, D65_XYZ), goal).mean())
    if not residual <= LARGEST_RESIDUAL_DE:
        reason = (
            f"The chart's colours fit only to a mean difference of {residual:.1f}, more than "
            f"{LARGEST_RESIDUAL_DE:g}: check that the corners and the chart's age are right, that one "
            "kind of light falls evenly on it, and that the camera used no filter."
        )
        raise RefusedError([("chart", reason)])
    left_out = _left_out(linear, target, goal)
    return ChartFit(curve=curve, matrix=matrix, residual_de=residual, left_out_de=left_out)


def sample_chart(photo: Photo, corners: Corners) -> tuple[Patch, ...]:
    """The 24 patches row by row, the middle of each."""
    square = homography(corners)
    edge = (1.0 - INSIDE) / 2.0
    return tuple(
        sample_region(
            photo,
            square,
            inside=(
                (column + edge) / COLUMNS,
                (row + edge) / ROWS,
                (column + 1.0 - edge) / COLUMNS,
                (row + 1.0 - edge) / ROWS,
            ),
            steps=24,
        )
        for row in range(ROWS)
        for column in range(COLUMNS)
    )


def _clipped(patches: tuple[Patch, ...]) -> list[str]:
    names = [name for name, patch in zip(PATCHES, patches, strict=True) if patch.clipped > CLIPPED_SHARE]
    if not names:
        return []
    return [
        f"Clipped in {', '.join(names)}: photograph it again with another exposure, so that nothing is pure "
        "white or black."
    ]


def _misplaced(patches: tuple[Patch, ...]) -> list[str]:
    uneven = [name for name, patch in zip(PATCHES, patches, strict=True) if patch.spread > LARGEST_SPREAD]
    greens = [float(patch.middle[1]) for patch in patches[GREYS]]
    falling = all(first > second for first, second in pairwise(greens))
    if len(uneven) <= 1 and falling:
        return []
    seen = (
        "the greys do not fall from white to black along its last edge"
        if not falling
        else (f"{', '.join(uneven[:4])} {'are' if len(uneven) > 1 else 'is'} not one even patch")
    )
    return [
        f"The chart is not where it was said ({seen}): give its corners beginning beside the brown patch, "
        "then on round the chart, the white patch at the fourth."
    ]


def _curve(greys: Floats, luminance: Floats) -> Floats:
    """(3, 3) quadratic in log-log by least squares, a row a channel; straight when the greys bend it back."""
    rows = []
    for channel in range(3):
        log_v = np.log(greys[:, channel])
        for degree in (2, 1):
            terms = np.stack([log_v**power for power in range(degree + 1)], axis=1)
            found, *_ = np.linalg.lstsq(terms, np.log(luminance), rcond=None)
            row = np.zeros(3)
            row[: degree + 1] = found
            if (row[1] + 2.0 * row[2] * np.array([log_v.min() - 0.5, 0.0]) > 0.0).all():
                break
        rows.append(row)
    return np.stack(rows)


def _linear(encoded: Floats, curve: Floats) -> Floats:
    log_v = np.log(np.maximum(encoded, 1e-4))
    result: Floats = np.exp(curve[:, 0] + curve[:, 1] * log_v + curve[:, 2] * log_v**2)
    return result


def _matrix(linear: Floats, target: Floats) -> Floats:
    weight = (target[:, 1] ** -0.25)[:, None]
    found = np.linalg.lstsq(linear * weight, target * weight, rcond=None)[0]
    return np.asarray(found.T, dtype=np.float64)


def _left_out(linear: Floats, target: Floats, goal: Floats) -> float:
    errors = []
    for patch in range(len(linear)):
        others = np.arange(len(linear)) != patch
        predicted = linear[patch] @ _matrix(linear[others], target[others]).T
        errors.append(float(ciede2000(lab(predicted, D65_XYZ), goal[patch])))
    return float(np.mean(errors))
