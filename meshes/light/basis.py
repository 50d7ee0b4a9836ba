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
from meshes.light.polygon import Array
from meshes.light.system import Light, System

MOST_VECTORS = 16
RESIDUAL_WANTED = 1e-4
_MOST_STATIONS = (20, 24)
"""Stations across and along on which the basis is measured."""
SMALLEST_M2, DARKEST = 0.05, 0.1
"""What counts when a basis is measured: a patch of the room at least as so much area, since one looks into
corners too, and its light at least as this share of the brightest."""
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
    finishes: Array
    """(snapshots, S) the finishes that were solved."""
    snapshots: tuple[Light, ...]
    """Indirect light of each solved finish, a column a lamp."""
    mix: tuple[Array, ...]
    """For each lamp (snapshots, K): basis vectors from the snapshots' columns of that lamp."""
    worst_residual: float
    """Largest residual over lamps and training finishes."""

    @property
    def direct_columns(self) -> list[int]:
        """Which columns are the lamps' direct light, where each lamp's vectors follow its own."""
        widths = [0, *(1 + one.vectors for one in self.reduced)]
        return [int(one) for one in np.cumsum(widths[:-1])]


class _Growing:
    """The basis of one lamp while it grows.

    Works on the rows of the measured patches only. A block of columns (rows, 1 + S) holds weight * light and
    weight * G P_s light.
    """

    def __init__(self, direct: Array) -> None:
        self.snapshots: list[Array] = []
        self.mix = np.zeros((0, 0))
        self.columns = np.empty((len(direct), (1 + MOST_VECTORS) * (1 + len(CLASSES))), order="F")
        self.gram = np.zeros((0, 0))
        self._take(direct)

    def _take(self, block: Array) -> None:
        """Put a block beside the columns, and its products into the Gram matrix."""
        start = len(self.gram)
        new = self.columns[:, start : start + block.shape[1]]
        new[:] = block
        cross = self.columns[:, :start].T @ new
        self.gram = np.block([[self.gram, cross], [cross.T, new.T @ new]])

    def add(self, snapshot: Array) -> None:
        """Take in one more solved finish's indirect light, as a block of columns."""
        self.snapshots.append(snapshot)
        before, count = self.mix.shape
        own = (1 + len(CLASSES)) * (1 + np.arange(count))
        vectors = self.columns[:, own]
        column = snapshot[:, 0].copy()
        recipe = np.zeros(before + 1)
        recipe[-1] = 1.0
        grown = np.zeros((before + 1, count))
        grown[:before] = self.mix
        size = np.linalg.norm(column)
        for _ in range(2):  # orthogonal to rounding after two passes (B. Parlett, 1980 [M])
            shares = vectors.T @ column
            column = column - vectors @ shares
            recipe = recipe - grown @ shares
        length = np.linalg.norm(column)
        if length <= _DROPPED * size or count == MOST_VECTORS:
            self.mix = grown
            return
        recipe = recipe / length
        self.mix = np.concatenate([grown, recipe[:, None]], axis=1)
        block = np.tensordot(recipe, np.stack(self.snapshots), axes=1)
        block[:, 0] = column / length
        self._take(block)

    def reduced(self) -> Reduced:
        step, count = 1 + len(CLASSES), self.mix.shape[1]
        own = step * (1 + np.arange(count))
        answer = np.stack([self.gram[np.ix_(own, own + 1 + s)] for s in range(len(CLASSES))])
        source = np.stack([self.gram[own, 1 + s] for s in range(len(CLASSES))])
        return Reduced(answer=answer, source=source, gram=self.gram)


def build_basis(system: System, direct: Light, training: Array | None = None) -> Basis:
    """Solve finishes until every training finish is met within ``RESIDUAL_WANTED``, or the basis is full."""
    training = training_finishes() if training is None else training.copy()
    for number in range(len(CLASSES) - 1):  # what this site does not show cannot move its light
        if number not in system.present:
            training[:, number] = 0.5
    lamps = range(direct.room.shape[1])
    chosen = middling_finish()
    solved = system.solve(direct, chosen)
    measured = _Measured(system, solved)
    growing = [_Growing(block) for block in measured.blocks(direct)]
    finishes: list[Array] = []
    snapshots: list[Light] = []
    while True:
        finishes.append(chosen)
        snapshots.append(solved - direct)
        for lamp, block in zip(growing, measured.blocks(snapshots[-1]), strict=True):
            lamp.add(block)
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
        mix=tuple(growing[number].mix for number in lamps),
        worst_residual=float(residual[worst]),
    )


class _Measured:
    """The patches that the basis is measured on: the whole room, and a choice of stations that stands for
    all.

    Light changes slowly from station to station; a few hundred of them say as much as thousands.
    """

    def __init__(self, system: System, middle: Light) -> None:
        self.system = system
        self.chosen = []
        areas = [np.maximum(system.room_area, SMALLEST_M2)]
        for wall in system.walls:
            a, b = (
                np.unique(np.linspace(0, count - 1, min(count, most)).round().astype(int))
                for count, most in zip(wall.station_area.shape, _MOST_STATIONS, strict=True)
            )
            self.chosen.append((a[:, None], b[None, :]))
            size = wall.station_area[a[:, None], b[None, :]]
            size = size * (wall.station_area.sum() / max(size.sum(), 1e-12))
            areas.append((size[..., None] * wall.field.zone_share).ravel())
        level = self._rows(middle)
        area = np.concatenate(areas)[:, None]
        self.weight = np.sqrt(area) / np.maximum(level, DARKEST * level.max(axis=0))

    def _rows(self, light: Light) -> Array:
        """(rows, m)."""
        zones = [one[chosen] for one, chosen in zip(light.zones, self.chosen, strict=True)]
        return np.concatenate([light.room, *(one.reshape(-1, one.shape[-1]) for one in zones)])

    def blocks(self, light: Light) -> list[Array]:
        """For each lamp (column of ``light``) weight * light and weight * G P_s light (rows, 1 + S)."""
        rows = self._rows(light)
        found = np.zeros((*rows.shape, 1 + len(CLASSES)))
        found[..., 0] = self.weight * rows
        for number in self.system.present:
            only = np.zeros(len(CLASSES))
            only[number] = 1.0
            sent = self.system.received(self.system.reflected(light, only))
            found[..., 1 + number] = self.weight * self._rows(sent)
        return list(found.transpose(1, 0, 2))
