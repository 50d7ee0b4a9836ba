"""How bright a white card would be in the middle of the wall: by it a lighting's pictures are exposed."""

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.light.relight import column_coefficients
from meshes.light.tables import chart_values
from meshes.light.transport import Transport
from meshes.solids.section import metres
from meshes.surfaces import SURFACES
from viewer.exposure import CARD_REFLECTANCE

METERING_REFLECTANCE = 0.3
"""Everything on the wall while the exposure is found: one exposure for all finishes, so that they compare."""
_CLEAR_M, _NEAR_M = 0.3, 0.5
"""A place is in the open where nothing nearer to the slats than the second lies within the first of it."""
_PLACES = 25
Floats = NDArray[np.float64]


def card_cd_m2(first: SetOut, transport: Transport, lamp_spd: Floats, observer: Floats) -> float:
    """Luminance of a white card in the plane of the slats, at the middle of the first wall, or as near to it
    as nothing stands before it.

    lamp_spd : (lamps, 41); observer : (41, 3).
    """
    grey = np.full((len(SURFACES), 41), METERING_REFLECTANCE)
    columns = column_coefficients(transport, grey, lamp_spd, observer)
    lit = transport.front.mix @ columns[:, :, 1].sum(axis=1)
    points = transport.site.to_light(_place(first, transport)[None].astype(np.float32))
    values = chart_values(transport.front.charts[0], points)[0]
    return float(values @ lit) * CARD_REFLECTANCE / np.pi


def _place(first: SetOut, transport: Transport) -> Floats:
    """Where the card hangs, in the world [m]."""
    wide, high, face = metres(first.wall_width), metres(first.wall_height), metres(first.build_up.total)
    middle, things = np.array([wide / 2, high / 2, face]), transport.site.things
    if not len(things):
        return middle
    shares = np.linspace(0.1, 0.9, _PLACES)
    places = np.array([[wide * x, high * y, face] for x in shares for y in shares])
    seen = transport.site.to_light(places)[:, None]
    away = np.maximum(np.maximum(things[:, 0] - seen, seen - things[:, 1]), 0)
    open_to = ((away[..., :2] > _CLEAR_M).any(axis=2) | (away[..., 2] > _NEAR_M)).all(axis=1)
    if not open_to.any():
        return middle
    places = places[open_to]
    return np.asarray(places[np.linalg.norm(places - middle, axis=1).argmin()])
