"""Differences between two pictures over blocks of 8 x 8 pixels, as an eye adapted to the room would see
them.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from finishes.cielab import lab
from finishes.difference import ciede2000
from finishes.lamps import observer
from meshes.light.layers import layers
from meshes.light.relight import coefficients, column_coefficients, picture
from meshes.light.tables import chart_values
from meshes.light.transport import Transport, solve_lighting
from meshes.solids.scene import prop_boxes
from meshes.stills.raster import raster
from meshes.surfaces import SURFACE_ID
from reference.scenes import HEIGHT, WIDTH, Case

SIDE = 8
Floats = NDArray[np.float64]


def block_means(picture_xyz: NDArray[np.float32]) -> NDArray[np.float32]:
    """(h, w, ...) to (h // 8, w // 8, ...); rows and columns left over are left out."""
    h, w = picture_xyz.shape[0] // SIDE, picture_xyz.shape[1] // SIDE
    cut = picture_xyz[: h * SIDE, : w * SIDE].reshape(h, SIDE, w, SIDE, -1)
    return cut.mean(axis=(1, 3), dtype=np.float64).astype(np.float32)


@dataclass(frozen=True, kw_only=True)
class Ours:
    """Our picture of a case: block means (h, w, 3) [cd/m2], share of slat run in each, XYZ of a white
    card.
    """

    blocks: NDArray[np.float32]
    run: NDArray[np.float32]
    white: Floats
    transport: Transport


def white_card(case: Case, transport: Transport) -> Floats:
    """XYZ [cd/m2] of a perfect diffuser at the middle of the slats' fronts."""
    middle = transport.site.face.mean(axis=1)
    point = np.array([[*middle, transport.site.front_z]], dtype=np.float32)
    light = chart_values(transport.front.charts[0], point)[0] @ transport.front.mix
    columns = column_coefficients(transport, case.reflectance, case.spd, observer())
    return np.einsum("c,cwk->k", light, columns) / np.pi


def ours(case: Case) -> Ours:
    """The whole way through: solids, samples, light, finish."""
    scene = case.scene
    samples = raster(scene, case.camera(scene), WIDTH, HEIGHT)
    transport = solve_lighting(case.set_outs, case.room, case.lighting, prop_boxes(scene))
    seen = layers(samples, transport)
    xyz = picture(seen, coefficients(seen, transport, case.reflectance, case.spd, observer()))
    words = [SURFACE_ID[word] for word in ("slat_front", "slat_side", "slat_end", "fabric")]
    run = samples.filtered(np.isin(samples.surface, words).astype(np.float32))
    return Ours(
        blocks=block_means(xyz),
        run=block_means(run[..., None])[..., 0],
        white=white_card(case, transport),
        transport=transport,
    )


@dataclass(frozen=True, kw_only=True)
class Difference:
    """CIEDE2000 over blocks, signed mean of dL*, and mean luminance of ours over the truth's, less 1."""

    mean: float
    p95: float
    p99: float
    lightness: float
    luminance: float

    def within_targets(self) -> bool:
        return (
            self.mean <= 1.0
            and self.p95 <= 2.0
            and self.p99 <= 4.0
            and abs(self.lightness) <= 0.5
            and abs(self.luminance) <= 0.03
        )


def difference(found: Ours, truth: NDArray[np.float32], chosen: NDArray[np.bool_]) -> Difference:
    """Over the chosen blocks; white is a white card at the wall's middle."""
    mine, theirs = found.blocks[chosen].astype(np.float64), truth[chosen].astype(np.float64)
    first, second = lab(mine, found.white), lab(theirs, found.white)
    de = ciede2000(first, second)
    return Difference(
        mean=float(de.mean()),
        p95=float(np.percentile(de, 95)),
        p99=float(np.percentile(de, 99)),
        lightness=float((first - second)[:, 0].mean()),
        luminance=float(mine[:, 1].mean() / theirs[:, 1].mean() - 1),
    )
