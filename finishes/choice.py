"""What is chosen: timber + stain + coats + topcoat + backing, by catalogue name (job file ``finish``)."""

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator

Parts = Annotated[float, Field(gt=0, le=1000, allow_inf_nan=False)]
Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
Coats = Annotated[int, Field(ge=0, le=6)]
BetweenCoats = Literal["wet on wet", "dried"]
Surface = Literal["planed", "sanded", "sawn"]


class Recipe(BaseModel):
    """An own tone that a person can mix: two tones of the catalogue by parts of volume."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    first: str
    first_parts: Parts = 1
    second: str
    second_parts: Parts = 1


def a_day(text: str) -> str:
    """The same text, if it is a day as YYYY-MM-DD. Raises ValueError."""
    try:
        known = date.fromisoformat(text).isoformat() == text
    except ValueError:
        known = False
    if not known:
        raise ValueError(f'"{text}" is no date; expected YYYY-MM-DD')
    return text


class OffCut(BaseModel):
    """A stained off-cut that was measured: what it was made of, when and under which lamp, what it reflects.

    Its colour replaces the model's as long as the finish is what the off-cut was made of.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: Annotated[str, Field(min_length=1, max_length=100, description="What is written on its back.")]
    timber: str
    tone: Annotated[str, Field(description="A tone of the catalogue, or an own one as its recipe reads.")]
    coats: Coats
    between_coats: BetweenCoats = "wet on wet"
    faces: Surface = "planed"
    topcoat: str
    date: Annotated[str, Field(description="Day of the photograph as YYYY-MM-DD.")]
    lamp: Annotated[str, Field(max_length=100, description="What lit the photograph, in plain words.")]
    reflectance: Annotated[
        tuple[Share, ...],
        Field(
            min_length=41,
            max_length=41,
            description="For 380, 390 … 780 nm, as seen: with the matt part of its shine.",
        ),
    ]
    uncertainty_de: Annotated[
        float,
        Field(ge=0, le=50, allow_inf_nan=False, description="One standard uncertainty, CIEDE2000."),
    ]
    rough: Annotated[bool, Field(description="Whether only a grey card lay beside it, not a chart.")] = False
    read_from: Annotated[str, Field(max_length=300, description="What it was read from, in words.")] = ""

    @field_validator("date")
    @classmethod
    def _a_day(cls, value: str) -> str:
        return a_day(value)


class Finish(BaseModel):
    """One finish. Empty names mean the first entry of the catalogue of that kind.

    A painted backing is chosen by its name in ``fabric``. ``sample`` is the name of a measured off-cut in the
    catalogue, ``off_cut`` holds one that was measured for this job; its colour then replaces the model's.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = ""
    timber: str = ""
    stain: str = ""
    own_tone: Recipe | None = None
    """Replaces ``stain`` when given."""
    coats: Coats = 1
    between_coats: BetweenCoats = "wet on wet"
    topcoat: str = ""
    fabric: str = ""
    fabric_lay: Annotated[
        Literal["shortest", "along", "across"],
        Field(
            description="How pieces lie on the roll: along it, across it, or whichever needs no seams and "
            "then the least cloth; a cloth with a nap then lies along."
        ),
    ] = "shortest"
    faces: Surface = "planed"
    sides: Surface = "sawn"
    backs: Literal["by depth", "coated", "bare"] = "by depth"
    """By depth: one thin balancing coat on slats thinner than 18 mm."""
    sorting: Literal["clear", "small sound knots", "all knots"] = "small sound knots"
    sample: str = ""
    off_cut: OffCut | None = None

    @model_validator(mode="after")
    def _one_measurement(self) -> "Finish":
        if self.sample and self.off_cut is not None:
            raise ValueError(
                "gives sample and off_cut; expected one of them: a finish has one measured colour"
            )
        return self
