"""What everything in a picture reflects under one finish, wavelength by wavelength."""

import numpy as np
from numpy.typing import NDArray

from finishes.appearance import Appearance
from meshes.light.room import Room
from meshes.surfaces import SURFACES

Floats = NDArray[np.float64]


def reflectances(room: Room, look: Appearance, *, glossy: bool) -> Floats:
    """(n_surfaces, 41) by surface id; the room's are the job's and grey. ``glossy`` adds what a coat scatters
    evenly."""
    given = room.reflectance
    around = {"room_floor": given.floor, "room_ceiling": given.ceiling, "room_walls": given.walls}
    grey = {word: np.full(41, value) for word, value in around.items()}
    seen = {word: look.seen(word) if glossy else look.reflectance[word] for word in look.reflectance}
    known = {**seen, **grey}
    return np.stack([known[word] for word in SURFACES])


def wood_zones(look: Appearance, *, glossy: bool) -> dict[str, tuple[Floats, ...]]:
    """Early wood, late wood and knots of each slat surface; a board without knots has none drawn."""
    found: dict[str, tuple[Floats, ...]] = {}
    for word, (early, late) in look.zones.items():
        knot = late if look.knot is None else look.knot
        added = look.seen(word) - look.reflectance[word] if glossy else 0.0
        found[word] = (early + added, late + added, knot + added)
    return found
