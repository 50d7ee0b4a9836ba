"""The one wavelength grid, and the checks that every spectrum passes before it is used."""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]

FIRST_NM = 380
LAST_NM = 780
STEP_NM = 10
WAVELENGTHS_NM: Floats = np.arange(FIRST_NM, LAST_NM + STEP_NM, STEP_NM, dtype=np.float64)
"""(41,) [nm]: 380 to 780 in steps of 10, the visible range of CIE 15 as the job file uses it."""
WAVELENGTHS_NM.flags.writeable = False
COUNT = WAVELENGTHS_NM.size


def frozen(values: Floats) -> Floats:
    """The same array, made read-only, so that a cached spectrum cannot be changed by its reader."""
    values.flags.writeable = False
    return values


def spectrum_problems(values: object, *, lowest: float = 0.0, highest: float = 1.0) -> list[str]:
    """What is wrong with 41 reflectances (or any 41 numbers within ``lowest``..``highest``); [] when nothing
    is.

    values : a sequence of 41 finite numbers, one for each of 380, 390, … 780 nm.
    """
    if not isinstance(values, list | tuple | np.ndarray):
        return [f"must be a list of {COUNT} numbers, for {FIRST_NM}, {FIRST_NM + STEP_NM}, …, {LAST_NM} nm"]
    problems = []
    if len(values) != COUNT:
        problems.append(
            f"has {len(values)} values; {COUNT} are needed ({FIRST_NM} to {LAST_NM} nm every {STEP_NM})"
        )
    for position, value in enumerate(values):
        where = f"value {position + 1}"
        if position < COUNT:
            where = f"the value at {FIRST_NM + STEP_NM * position} nm"
        if (
            isinstance(value, bool)
            or not isinstance(value, int | float | np.floating)
            or not np.isfinite(value)
        ):
            problems.append(
                f"{where} is {value!r}; a number from {lowest:g} to {highest:g} is needed (no gaps)"
            )
        elif not lowest <= value <= highest:
            problems.append(f"{where} is {value:g}; it must lie from {lowest:g} to {highest:g}")
    return problems


def lagrange_10_nm(wavelengths_nm: Floats) -> Floats:
    """Interpolation matrix from the 41-value grid to other wavelengths: cubic Lagrange, as ASTM E2022 uses
    it.

    wavelengths_nm : (n,) [nm] within 380..780.
    Returns (n, 41); each row sums to 1. Quadratic in the first and last interval, where no fourth node
    stands.
    """
    matrix = np.zeros((wavelengths_nm.size, COUNT))
    interval = np.clip(((wavelengths_nm - FIRST_NM) // STEP_NM).astype(int), 0, COUNT - 2)
    for row, (wavelength, left) in enumerate(zip(wavelengths_nm, interval, strict=True)):
        nodes = np.arange(max(left - 1, 0), min(left + 3, COUNT))
        for node in nodes:
            others = nodes[nodes != node]
            matrix[row, node] = np.prod(
                (wavelength - WAVELENGTHS_NM[others]) / (WAVELENGTHS_NM[node] - WAVELENGTHS_NM[others])
            )
    return matrix
