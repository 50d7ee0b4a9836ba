"""The reduced basis: a handful of solved finishes that span what any finish makes of the light of one lamp.

Indirect irradiance is sought as V c with V orthonormal under weights w (area over the square of a middling
finish's irradiance, so that a dark side counts beside a bright front). Projected onto V,

    c = sum over classes s of rho_s (A_s c + b_s),   A_s = V' w G P_s V,   b_s = V' w G P_s E

and the residual of the full system follows from one Gram matrix, without touching a patch. Finishes are
chosen greedily: the one with the largest residual next (reduced basis methods, as in J. Hesthaven, G. Rozza
& B. Stamm, Certified Reduced Basis Methods, 2016, ch. 3 [M]).
"""

from dataclasses import dataclass

import numpy as np

from meshes.light.classes import CLASSES, class_of
from meshes.light.measured import Measured
from meshes.light.polygon import Array
from meshes.light.solving import Solved, Solver
from meshes.light.system import Light, System

MOST_VECTORS = 16
RESIDUAL_WANTED = 1e-4
_DROPPED = 1e-5
"""A direction that adds less than this of its snapshot is rounding, not light."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reduced:
    """The system of one lamp on K basis vectors; S = len(CLASSES) classes."""

    answer: Array
    """(S, K, K): A of each class."""
    source: Array
    """(S, K): b of each class."""
    gram: Array
    """Products of all columns: [E | G P_s E] and then [v | G P_s v] for each vector v."""

    @property
    def vectors(self) -> int:
        return int(self.answer.shape[1])

    def coefficients(self, reflectance: Array) -> Array:
        """Indirect light in the basis. reflectance : (n, S), the last column 1; returns (n, K)."""
        matrix = np.eye(self.vectors) - np.tensordot(reflectance, self.answer, axes=1)
        return np.asarray(np.linalg.solve(matrix, (reflectance @ self.source)[..., None])[..., 0])

    def residual(self, reflectance: Array, coefficients: Array) -> Array:
        """Size of what the reduced solution leaves of the full system, over the light itself: (n,)."""
        n = len(reflectance)
        ones = np.ones((n, 1))
        inner = np.concatenate([ones, coefficients], axis=1)[:, :, None]
        own = np.concatenate([0 * ones, -coefficients], axis=1)[:, :, None]
        rest = np.concatenate([own, inner * reflectance[:, None, :]], axis=2).reshape(n, -1)
        light = np.concatenate([inner, 0 * inner * reflectance[:, None, :]], axis=2).reshape(n, -1)
        left = np.einsum("ni,ij,nj->n", rest, self.gram, rest, optimize=True)
        whole = np.einsum("ni,ij,nj->n", light, self.gram, light, optimize=True)
        return np.asarray(np.sqrt(np.maximum(left, 0) / whole))


def training_finishes(count: int = 64) -> Array:
    """Sample finishes (count, S): the corners of what can be bought, and a spread between them."""
    rng = np.random.default_rng(20)
    found = rng.uniform(0.02, 0.92, (count, len(CLASSES)))
    corners = np.array(np.meshgrid(*[[0.03, 0.9]] * 3, indexing="ij")).reshape(3, -1).T
    found[: len(corners)] = 0.5
    found[: len(corners), [class_of(word) for word in ("slat_front", "slat_side", "fabric")]] = corners
    found[:, -1] = 1.0
    return found


def middling_finish() -> Array:
    """A finish in the middle of what can be bought (S,)."""
    return np.array([0.4] * (len(CLASSES) - 1) + [1.0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """The reduced system of each lamp and how its vectors are mixed from solved finishes."""

    reduced: tuple[Reduced, ...]
    snapshots: tuple[Solved, ...]
    """The finishes that were solved, a column a lamp; their indirect light spans the basis."""
    mix: tuple[Array, ...]
    """For each lamp (snapshots, K): basis vectors from the snapshots' columns of that lamp."""
    worst_residual: float
    """Largest residual over lamps and training finishes."""

    @property
    def finishes(self) -> Array:
        """(snapshots, S)"""
        return np.array([one.reflectance for one in self.snapshots])

    @property
    def direct_columns(self) -> list[int]:
        """Which columns are the lamps' direct light, where each lamp's vectors follow its own."""
        widths = [0, *(1 + one.vectors for one in self.reduced)]
        return [int(one) for one in np.cumsum(widths[:-1])]


class _Growing:
    """The basis of one lamp while it grows.

    Works on the rows of the measured patches only. A block (1 + P, rows) holds weight * light and weight * G
    P_s light of each class s that is ``present``.
    """

    def __init__(self, direct: Array, present: list[int]) -> None:
        self.present = present
        self.mix = np.zeros((0, 0))
        self.blocks = np.empty((1 + MOST_VECTORS, *direct.shape))
        self.gram = np.zeros((0, 0))
        self._take(direct)

    def _take(self, block: Array) -> None:
        """Put a block beside the others, and its products into the Gram matrix."""
        count = len(self.gram) // len(block)
        self.blocks[count] = block
        before = self.blocks[:count].reshape(-1, block.shape[1])
        cross = block @ before.T
        self.gram = np.block([[self.gram, cross.T], [cross, block @ block.T]])

    def add(self, snapshot: Array) -> None:
        """Take in one more solved finish's indirect light, as a block."""
        before, count = self.mix.shape
        vectors = self.blocks[1 : 1 + count, 0]
        column = snapshot[0].copy()
        taken = np.zeros(count)
        size = np.linalg.norm(column)
        for _ in range(2):  # orthogonal to rounding after two passes (B. Parlett, 1980 [M])
            shares = vectors @ column
            column -= shares @ vectors
            taken += shares
        length = np.linalg.norm(column)
        grown = np.zeros((before + 1, count))
        grown[:before] = self.mix
        if length <= _DROPPED * size or count == MOST_VECTORS:
            self.mix = grown
            return
        recipe = np.append(-self.mix @ taken, 1.0) / length
        self.mix = np.concatenate([grown, recipe[:, None]], axis=1)
        earlier = taken @ self.blocks[1 : 1 + count].reshape(count, snapshot.size)
        block = (snapshot - earlier.reshape(snapshot.shape)) / length
        block[0] = column / length
        self._take(block)

    def reduced(self) -> Reduced:
        """The lamp's reduced system; what belongs to classes that the site does not show is 0."""
        whole = 1 + len(CLASSES)
        count = self.mix.shape[1]
        within = np.array([0, *(1 + number for number in self.present)])
        places = (whole * np.arange(1 + count)[:, None] + within).ravel()
        gram = np.zeros((whole * (1 + count),) * 2)
        gram[np.ix_(places, places)] = self.gram
        own = whole * (1 + np.arange(count))
        answer = np.stack([gram[np.ix_(own, own + 1 + s)] for s in range(len(CLASSES))])
        source = np.stack([gram[own, 1 + s] for s in range(len(CLASSES))])
        return Reduced(answer=answer, source=source, gram=gram)


def build_basis(system: System, direct: Light, training: Array | None = None) -> Basis:
    """Solve finishes until every training finish is met within ``RESIDUAL_WANTED``, or the basis is full."""
    training = training_finishes() if training is None else training.copy()
    for number in range(len(CLASSES) - 1):  # what this site does not show cannot move its light
        if number not in system.present:
            training[:, number] = 0.5
    solver = Solver(system, direct)
    solved = solver.solved(middling_finish())
    measured = Measured(solver, direct, solved)
    growing = [_Growing(block, system.present) for block in measured.of_lamps()]
    snapshots: list[Solved] = []
    while True:
        snapshots.append(solved)
        for lamp, block in zip(growing, measured.of_indirect(solved), strict=True):
            lamp.add(block)
        reduced = tuple(lamp.reduced() for lamp in growing)
        residual = np.max([one.residual(training, one.coefficients(training)) for one in reduced], axis=0)
        worst = int(np.argmax(residual))
        if residual[worst] < RESIDUAL_WANTED or len(snapshots) == MOST_VECTORS:
            break
        solved = solver.solved(training[worst])
    return Basis(
        reduced=reduced,
        snapshots=tuple(snapshots),
        mix=tuple(lamp.mix for lamp in growing),
        worst_residual=float(residual[worst]),
    )
