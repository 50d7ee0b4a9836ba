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
Floats = NDArray[np.float64]


def card_cd_m2(first: SetOut, transport: Transport, lamp_spd: Floats, observer: Floats) -> float:
    """Luminance of a white card in the plane of the slats, at the middle of the first wall.

    lamp_spd : (lamps, 41); observer : (41, 3).
    """
    grey = np.full((len(SURFACES), 41), METERING_REFLECTANCE)
    columns = column_coefficients(transport, grey, lamp_spd, observer)
    lit = transport.front.mix @ columns[:, :, 1].sum(axis=1)
    middle = [metres(first.wall_width) / 2, metres(first.wall_height) / 2, metres(first.build_up.total)]
    points = transport.site.to_light(np.array([middle], np.float32))
    values = chart_values(transport.front.charts[0], points)[0]
    return float(values @ lit) * CARD_REFLECTANCE / np.pi
