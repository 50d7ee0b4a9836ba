"""The few directions in which light moves, whatever the finish: what tables of it are kept in."""

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from meshes.light.basis import Basis
from meshes.light.frame import Real
from meshes.light.polygon import Array

DIRECTION_KEPT = 1e-3
"""Directions below this share of the light are dropped (the picture's own rounding is 4e-3)."""
_ROWS_AT_ONCE = 1 << 14


def compressed(
    tables: Sequence[NDArray[Real]], coefficients: Array
) -> tuple[list[NDArray[np.float32]], Array]:
    """The few directions in which tables (..., columns) move over training ``coefficients`` (n, columns).

    Rows count relative to their own size, so that dark places keep their colour. Returns tables (..., r) and
    the mix (r, columns).
    """
    spread = coefficients.T @ coefficients / len(coefficients)
    sizes = [
        np.sqrt(np.maximum(np.einsum("ni,ni->n", rows @ spread, rows), 0))
        for table in tables
        for rows in _parts(table)
    ]
    least = 1e-3 * max(size.max() for size in sizes)
    gram = np.zeros_like(spread)
    for rows, size in zip((rows for table in tables for rows in _parts(table)), sizes, strict=True):
        weighted = rows / np.maximum(size, least)[:, None]
        gram += weighted.T @ weighted
    squares, directions = np.linalg.eigh(coefficients @ gram @ coefficients.T)
    kept = max(1, int((squares > DIRECTION_KEPT**2 * squares[-1]).sum()))
    ways = coefficients.T @ directions[:, -kept:] / np.sqrt(squares[-kept:])
    found = [
        np.concatenate([(rows @ ways).astype(np.float32) for rows in _parts(table)]).reshape(
            *table.shape[:-1], kept
        )
        for table in tables
    ]
    return found, ways.T @ gram


def _parts(table: NDArray[Real]) -> Iterator[Array]:
    """A table's rows (n, columns), some at a time."""
    step = max(1, _ROWS_AT_ONCE * len(table) * table.shape[-1] // max(1, table.size))
    for first in range(0, len(table), step):
        yield table[first : first + step].reshape(-1, table.shape[-1]).astype(np.float64)


def training_coefficients(basis: Basis, finishes: Array) -> Array:
    """Coefficients of all columns for each finish, one lamp lit at a time (finishes * lamps, columns)."""
    blocks = [one.coefficients(finishes) for one in basis.reduced]
    width = sum(1 + block.shape[1] for block in blocks)
    found, start = [], 0
    for block in blocks:
        rows = np.zeros((len(finishes), width))
        rows[:, start] = 1.0
        rows[:, start + 1 : start + 1 + block.shape[1]] = block
        start += 1 + block.shape[1]
        found.append(rows)
    return np.concatenate(found)
