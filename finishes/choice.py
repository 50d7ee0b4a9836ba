"""What is chosen: timber + stain + coats + topcoat + backing, by catalogue name (job file ``finish``)."""

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Parts = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)]


class Recipe(BaseModel):
    """An own tone that a person can mix: two tones of the catalogue by parts of volume."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    first: str
    first_parts: Parts = 1
    second: str
    second_parts: Parts = 1


class Finish(BaseModel):
    """One finish. Empty names mean the first entry of the catalogue of that kind.

    A painted backing is chosen by its name in ``fabric``. ``sample`` is the name of a measured sample; its
    colour then replaces the model's.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = ""
    timber: str = ""
    stain: str = ""
    own_tone: Recipe | None = None
    """Replaces ``stain`` when given."""
    coats: Annotated[int, Field(ge=0, le=6)] = 1
    between_coats: Literal["wet on wet", "dried"] = "wet on wet"
    topcoat: str = ""
    fabric: str = ""
    faces: Literal["planed", "sanded", "sawn"] = "planed"
    sides: Literal["planed", "sanded", "sawn"] = "sawn"
    backs: Literal["by depth", "coated", "bare"] = "by depth"
    """By depth: one thin balancing coat on slats thinner than 18 mm."""
    sorting: Literal["clear", "small sound knots", "all knots"] = "small sound knots"
    sample: str = ""
