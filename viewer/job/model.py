"""The job file: one job, composed of values that live in the leaf rooms."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from finishes.choice import Finish
from meshes.cutting.stock import Stock
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone
from meshes.light.lamps import Lighting
from meshes.light.room import Room


class Job(BaseModel):
    """One planned wall. Required: ``name``, ``wall``, ``slats``; everything else has a stated default."""

    model_config = ConfigDict(frozen=True, extra="forbid", title="slatwright job")

    format: Literal[1] = 1
    name: Annotated[str, Field(min_length=1, max_length=200)]
    revised: Annotated[str, Field(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ""
    wall: Wall
    openings: tuple[Opening, ...] = ()
    zones: tuple[Zone, ...] = ()
    slats: Slats
    panels: Panels = Panels()
    stock: Stock = Stock()
    finish: Finish = Finish()
    finishes: tuple[Finish, ...] = ()
    room: Room = Room()
    lightings: tuple[Lighting, ...] = ()
