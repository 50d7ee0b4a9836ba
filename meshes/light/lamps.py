"""Lamps and lightings of the job file. A window is a lamp: a one-sided Lambertian rectangle.

A lamp shows lumens (as dimmed) / (pi * area) as luminance on its face and black behind; it blocks light and
reflects nothing.
"""

from typing import Annotated, Literal

from pydantic import Field

from meshes.layout.lengths import Value

Coordinate = Annotated[float, Field(ge=-60_000, le=60_000, allow_inf_nan=False)]
Side = Annotated[float, Field(ge=1, le=60_000, allow_inf_nan=False)]
Component = Annotated[float, Field(ge=-1, le=1, allow_inf_nan=False)]


class Lamp(Value):
    """``size_mm`` = [along x, the other]; for lamps that face left or right [along z, along y]."""

    name: str
    centre_mm: tuple[Coordinate, Coordinate, Coordinate]
    size_mm: tuple[Side, Side]
    faces: Literal["down", "up", "left", "right", "wall", "room"] | tuple[Component, Component, Component]
    lumens: Annotated[float, Field(gt=0, le=1_000_000, allow_inf_nan=False)]
    spectrum: str = "D65"
    dimmed_to: Annotated[
        float,
        Field(
            ge=0.001,
            le=1,
            allow_inf_nan=False,
            description="Share of its full light that the lamp gives; lumens are those of full light. An LED "
            "keeps its colour when it is dimmed, a filament grows warmer.",
        ),
    ] = 1

    @property
    def dimmed_lumens(self) -> float:
        """What it gives as it is dimmed [lm]."""
        return self.lumens * self.dimmed_to


class Lighting(Value):
    """A named set of lamps."""

    name: str
    lamps: Annotated[tuple[Lamp, ...], Field(min_length=1, max_length=100)]
