"""The reduced basis: a handful of solved finishes that span what any finish makes of the light of one lamp.

Indirect irradiance is sought as V c with V orthonormal under weights w (area over the square of a middling
finish's irradiance, so that the dark end of a deep gap counts as much as a bright front). Projected onto V,

    c = sum over classes s of rho_s (A_s c + b_s),   A_s = V' w G P_s V,   b_s = V' w G P_s E

and the residual of the full system follows from one Gram matrix, without touching a patch. Finishes are
chosen greedily: the one with the largest residual next (reduced basis methods, as in J. Hesthaven, G. Rozza
& B. Stamm, Certified Reduced Basis Methods, 2016, ch. 3 [M]).
"""

from dataclasses import dataclass

import numpy as np

from meshes.light.polygon import Array
from meshes.light.system import CLASSES, Light, System

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
    found[: len(corners), :3] = corners
    found[: len(corners), 3] = 0.5
    found[:, -1] = 1.0
    return found


def middling_finish() -> Array:
    """A finish in the middle of what can be bought (S,)."""
    return np.array([0.4] * (len(CLASSES) - 1) + [1.0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """The reduced system of each lamp and how its vectors are mixed from solved finishes."""

    reduced: tuple[Reduced, ...]
    finishes: Array
    """(snapshots, S) the finishes that were solved."""
    snapshots: tuple[Light, ...]
    """Indirect light of each solved finish, a column a lamp."""
    mix: tuple[Array, ...]
    """For each lamp (snapshots, K): basis vectors from the snapshots' columns of that lamp."""
    worst_residual: float
    """Largest residual over lamps and training finishes."""


class _Growing:
    """The basis of one lamp while it grows."""

    def __init__(self, system: System, direct: Light, level: Array, area: Array) -> None:
        self.system = system
        self.weight = np.sqrt(area) / np.maximum(level, 1e-3 * level.max())
        self.like = direct
        self.vectors = np.zeros((len(level), 0))
        self.mix = np.zeros((0, 0))
        self.columns = np.empty((len(level), (1 + MOST_VECTORS) * (1 + len(CLASSES))), order="F")
        self.gram = np.zeros((0, 0))
        self._take(direct, self.weight * direct.flat())

    def _take(self, light: Light, flat: Array) -> None:
        """Put weight * light and weight * G P_s light beside the columns, and their products into the
        Gram.
        """
        start, size = len(self.gram), 1 + len(CLASSES)
        self.columns[:, start] = flat[:, 0]
        for number in range(len(CLASSES)):
            only = np.zeros(len(CLASSES))
            only[number] = 1.0
            sent = self.system.received(self.system.reflected(light, only)).flat()
            self.columns[:, start + 1 + number] = (self.weight * sent)[:, 0]
        new = self.columns[:, start : start + size]
        cross = self.columns[:, :start].T @ new
        self.gram = np.block([[self.gram, cross], [cross.T, new.T @ new]])

    def add(self, snapshot: Light) -> None:
        """Take in one more solved finish's indirect light (one column)."""
        before, count = self.mix.shape
        column = (self.weight * snapshot.flat())[:, 0]
        recipe = np.zeros(before + 1)
        recipe[-1] = 1.0
        grown = np.zeros((before + 1, count))
        grown[:before] = self.mix
        size = np.linalg.norm(column)
        for _ in range(2):  # orthogonal to rounding after two passes (B. Parlett, 1980 [M])
            shares = self.vectors.T @ column
            column = column - self.vectors @ shares
            recipe = recipe - grown @ shares
        length = np.linalg.norm(column)
        if length <= _DROPPED * size or count == MOST_VECTORS:
            self.mix = grown
            return
        column, recipe = column / length, recipe / length
        self.vectors = np.concatenate([self.vectors, column[:, None]], axis=1)
        self.mix = np.concatenate([grown, recipe[:, None]], axis=1)
        patches, shape = len(self.like.room), self.like.zones.shape[:-1]
        plain = column / self.weight[:, 0]
        light = Light(plain[:patches, None], plain[patches:].reshape(*shape, 1))
        self._take(light, column[:, None])

    def reduced(self) -> Reduced:
        step, count = 1 + len(CLASSES), self.vectors.shape[1]
        own = step * (1 + np.arange(count))
        answer = np.stack([self.gram[np.ix_(own, own + 1 + s)] for s in range(len(CLASSES))])
        source = np.stack([self.gram[own, 1 + s] for s in range(len(CLASSES))])
        return Reduced(answer=answer, source=source, gram=self.gram)


def build_basis(system: System, direct: Light, training: Array | None = None) -> Basis:
    """Solve finishes until every training finish is met within ``RESIDUAL_WANTED``, or the basis is full."""
    training = training_finishes() if training is None else training.copy()
    for number in range(len(CLASSES) - 1):  # what this site does not show cannot move its light
        if number not in system.zone_class and number not in system.room_class:
            training[:, number] = 0.5
    lamps = range(direct.room.shape[1])
    chosen = middling_finish()
    solved = system.solve(direct, chosen)
    field = system.station_area[..., None] * system.field.zone_share
    area = Light(system.room_area[:, None], field[..., None]).flat()
    growing = [_Growing(system, direct.column(i), solved.column(i).flat(), area) for i in lamps]
    finishes: list[Array] = []
    snapshots: list[Light] = []
    while True:
        finishes.append(chosen)
        snapshots.append(solved - direct)
        for number in lamps:
            growing[number].add(snapshots[-1].column(number))
        reduced = tuple(lamp.reduced() for lamp in growing)
        residual = np.max([one.residual(training, one.coefficients(training)) for one in reduced], axis=0)
        worst = int(np.argmax(residual))
        if residual[worst] < RESIDUAL_WANTED or len(finishes) == MOST_VECTORS:
            break
        chosen = training[worst]
        solved = system.solve(direct, chosen)
    return Basis(
        reduced=reduced,
        finishes=np.array(finishes),
        snapshots=tuple(snapshots),
        mix=tuple(lamp.mix for lamp in growing),
        worst_residual=float(residual[worst]),
    )
