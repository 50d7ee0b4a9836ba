"""A finish put on: small systems solved per wavelength, then layers times coefficients.

Radiance is carried per wavelength to the last multiply; photometry is absolute: a lamp of luminance L shows
Y = L, whatever the scale of the given spectrum and observer.
"""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from meshes.light.blocks import ZONES, Block, Layers, side_by_side
from meshes.light.classes import CLASSES
from meshes.light.polygon import Array
from meshes.light.transport import Transport
from meshes.surfaces import SURFACE_ID

Zones = Mapping[str, tuple[Array, ...]]
"""By surface word: reflectance (41,) of early and late wood and, where there are any, of knots."""


def class_reflectance(reflectance: Array) -> Array:
    """(n_surfaces, w) by surface word to (w, S) by the classes that light meets on its way."""
    rows = [reflectance[SURFACE_ID[word]] for word in CLASSES[:-1]]
    return np.stack([*rows, np.ones(reflectance.shape[1])], axis=1)


def column_coefficients(transport: Transport, reflectance: Array, lamp_spd: Array, observer: Array) -> Array:
    """Tristimulus of each column of light for each wavelength, before the last reflection (columns, w, 3).

    reflectance : (n_surfaces, w) area means, 0 to 1; lamp_spd : (n_lamps, w) any scale; observer : (w, 3) any
    scale, the second column being V(lambda).
    """
    by_class = class_reflectance(reflectance)
    found = []
    for reduced, spd in zip(transport.reduced, lamp_spd, strict=True):
        seen = lamp_observer(spd, observer)
        inner = reduced.coefficients(by_class).T[:, :, None] * seen
        found.append(np.concatenate([seen[None], inner]))
    return np.concatenate(found)


def lamp_observer(spd: Array, observer: Array) -> Array:
    """(w, 3) tristimulus per wavelength of a lamp of luminance 1: its second column sums to 1."""
    weighted = observer * spd[:, None]
    return np.asarray(weighted / weighted[:, 1].sum())


def coefficients(
    layers: Layers,
    transport: Transport,
    reflectance: Array,
    lamp_spd: Array,
    observer: Array,
    zones: Zones | None = None,
    own: Sequence[Array] = (),
) -> NDArray[np.float32]:
    """What each layer counts for under one finish: (layers.count, 3), XYZ [cd/m2].

    reflectance : (n_surfaces, 41) area means by surface id; lamp_spd : (n_lamps, 41); observer : (41, 3);
    zones : early and late wood's, and knots', reflectance (41,) by surface word, where figure divides a
    surface; a surface without an entry has its area mean in all; own : plates' own colours (41,) by number.
    """
    columns = column_coefficients(transport, reflectance, lamp_spd, observer)
    lamps = np.stack([lamp_observer(spd, observer).sum(axis=0) for spd in lamp_spd])
    known: dict[tuple[str, str, int], Array] = {}
    for block in layers.blocks:
        key = (block.surface, block.zone, id(block.mix))
        if key not in known:
            known[key] = _counts(block, columns, lamps, reflectance, zones or {}, own)
    each = [known[(block.surface, block.zone, id(block.mix))] for block in layers.blocks]
    return np.concatenate(each).astype(np.float32)


def _counts(
    block: Block, columns: Array, lamps: Array, reflectance: Array, zones: Zones, own: Sequence[Array]
) -> Array:
    """What each layer of one block counts for (r, 3)."""
    if block.surface == "lamp":
        return np.asarray(block.mix @ lamps)
    if block.surface == "room":
        last = np.ones(reflectance.shape[1])
    elif block.zone.isdecimal():
        last = own[int(block.zone)]
    elif block.zone != "area" and block.surface in zones:
        last = zones[block.surface][ZONES.index(block.zone)]
    else:
        last = reflectance[SURFACE_ID[block.surface]]
    return np.asarray(block.mix @ np.einsum("cwk,w->ck", columns, last / np.pi, optimize=True))


def pieces(
    layers: Layers, weights: NDArray[np.float32]
) -> Iterator[tuple[NDArray[np.int32], NDArray[np.float32]]]:
    """Layers times ``weights`` (layers.count, k), piece by piece: pixels (m,) and what they show (m, k).

    Every pixel comes once; one product a piece reads each layer once.
    """
    start = 0
    for together in layers.groups():
        stop = start + sum(block.values.shape[1] for block in together)
        # directions are rows in memory: long products of few numbers, which is what they are fastest at
        yield together[0].pixels, (weights[start:stop].T @ side_by_side(together).T).T
        start = stop


def picture(layers: Layers, weights: NDArray[np.float32]) -> NDArray[np.float32]:
    """The picture (height, width, 3) float32, XYZ [cd/m2] scene-linear: layers times ``weights``."""
    found = np.zeros((layers.height * layers.width, weights.shape[1]), np.float32)
    for pixels, values in pieces(layers, weights):
        found[pixels] = values
    return found.reshape(layers.height, layers.width, -1)
