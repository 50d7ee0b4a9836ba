"""The closed room box of the job file; an open end of the run goes on beyond the wall's end."""

from typing import Annotated

from pydantic import Field

from meshes.layout.lengths import Value

Reflectance = Annotated[float, Field(ge=0, le=0.95, allow_inf_nan=False)]
Distance = Annotated[float, Field(ge=0, le=60_000, allow_inf_nan=False)]


class RoomReflectance(Value):
    """Diffuse reflectances; defaults lie in the ranges of EN 12464-1 (ceiling 0.7-0.9, walls 0.5-0.8, floor
    0.2-0.4)."""

    floor: Reflectance = 0.3
    ceiling: Reflectance = 0.8
    walls: Reflectance = 0.6


class Room(Value):
    """Depth in front of the wall and how far the room goes on beyond each end [mm]."""

    depth_mm: Annotated[float, Field(ge=300, le=60_000, allow_inf_nan=False)] = 4000
    beyond_left_mm: Distance = 0
    beyond_right_mm: Distance = 0
    reflectance: RoomReflectance = RoomReflectance()
