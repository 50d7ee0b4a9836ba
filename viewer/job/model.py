"""The job file: one job, composed of values that live in the leaf rooms."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from finishes.choice import Finish
from meshes.cutting.stock import Stock
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import NextWall, Opening, Wall, Zone
from meshes.light.lamps import Lighting
from meshes.light.room import Room


class Job(BaseModel):
    """One planned wall. Required: ``name``, ``wall``, ``slats``; everything else has a stated default."""

    model_config = ConfigDict(frozen=True, extra="forbid", title="slatwright job")

    format: Annotated[Literal[1], Field(description="Number of the job file's format.")] = 1
    name: Annotated[str, Field(min_length=1, max_length=200, description="What the job is called.")]
    revised: Annotated[
        str,
        Field(
            pattern=r"^(\d{4}-\d{2}-\d{2})?$",
            description="date of the last change as YYYY-MM-DD, or empty; documents are dated by it",
        ),
    ] = ""
    wall: Annotated[Wall, Field(description="The wall as measured.")]
    openings: Annotated[
        tuple[Opening, ...], Field(max_length=500, description="What the slats must leave free.")
    ] = ()
    zones: Annotated[tuple[Zone, ...], Field(max_length=500, description="Regions with a meaning.")] = ()
    next_walls: Annotated[
        tuple[NextWall, ...],
        Field(max_length=12, description="Walls that go on round the right-hand corner, in their order."),
    ] = ()
    slats: Annotated[Slats, Field(description="The wanted slats and gaps.")]
    panels: Annotated[Panels, Field(description="The backing boards.")] = Panels()
    stock: Annotated[Stock, Field(description="What can be bought to rip the slats from.")] = Stock()
    finish: Annotated[
        Finish,
        Field(
            description="The chosen finish; left out, the first of finishes, or without those the first "
            "entry of each kind in the catalogue."
        ),
    ] = Finish()
    finishes: Annotated[
        tuple[Finish, ...], Field(max_length=12, description="Candidates to choose from, told apart by name.")
    ] = ()
    room: Annotated[Room, Field(description="The room as a closed box.")] = Room()
    lightings: Annotated[
        tuple[Lighting, ...],
        Field(
            max_length=12,
            description="Named sets of lamps; left out, a day (daylight window) and an evening (ceiling "
            "panel) made to fit the room.",
        ),
    ] = ()

    @property
    def zones_by_wall(self) -> tuple[tuple[Zone, ...], ...]:
        """The zones of each wall, in the walls' order."""
        return self.zones, *(one.zones for one in self.next_walls)
