"""Frames that follow one wall: its axes are the world's, in another order and sense, and shifted."""

from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from meshes.light.polygon import Array

Real = TypeVar("Real", bound=np.floating[Any])


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Axis i of the light frame is world axis ``order[i]``, times ``sense[i]`` (1 or -1), plus ``shift[i]``
    [m]. Where the order or the senses mirror, the room is mirrored, which changes no distance and no sight.
    """

    order: tuple[int, int, int] = (0, 1, 2)
    sense: tuple[float, float, float] = (1.0, 1.0, 1.0)
    shift: tuple[float, float, float] = (0.0, 0.0, 0.0)

    def points(self, world: NDArray[Real]) -> NDArray[Real]:
        """World points (..., 3) in the light frame."""
        moved = self.directions(world)
        moved += np.array(self.shift, dtype=world.dtype)
        return moved

    def directions(self, world: NDArray[Real]) -> NDArray[Real]:
        """World directions (..., 3) in the light frame."""
        turned = world[..., self.order]
        turned *= np.array(self.sense, dtype=world.dtype)
        return turned

    def world(self, light: NDArray[Real]) -> NDArray[Real]:
        """Points (..., 3) of the light frame in the world."""
        found = np.empty_like(light)
        found[..., self.order] = (light - self.shift) * self.sense
        return found

    @property
    def plain(self) -> Array:
        """(3, 3): order, sense and shift as rows."""
        return np.array([self.order, self.sense, self.shift], dtype=np.float64)


def frame_of(world_from_wall: Array, *, level: bool) -> Frame:
    """The light frame of a wall: a across its slats, b along them, z out of it.

    world_from_wall : (4, 4) turns by quarters about the upright axis, and a shift [m].
    """
    wall_from_world = np.linalg.inv(world_from_wall)
    light_from_world = wall_from_world[[1, 0, 2] if level else [0, 1, 2]]
    order = np.abs(light_from_world[:, :3]).argmax(axis=1)
    sense = np.sign(light_from_world[np.arange(3), order])
    (o0, o1, o2), (s0, s1, s2) = order.tolist(), sense.tolist()
    h0, h1, h2 = (light_from_world[:, 3] + 0.0).tolist()
    return Frame(order=(o0, o1, o2), sense=(s0, s1, s2), shift=(h0, h1, h2))


def frame_from(plain: Array) -> Frame:
    """The inverse of ``Frame.plain``."""
    (o0, o1, o2), (s0, s1, s2), (h0, h1, h2) = plain.tolist()
    return Frame(order=(int(o0), int(o1), int(o2)), sense=(s0, s1, s2), shift=(h0, h1, h2))
