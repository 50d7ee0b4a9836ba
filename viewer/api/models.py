"""What the API takes and gives besides a job, as models: the OpenAPI document is made from them."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field

Share = float


class Answer(BaseModel):
    """An answer has exactly these members."""

    model_config = ConfigDict(extra="forbid")


class Fault(Answer):
    """One thing that is wrong, with its place and what would be accepted."""

    path: str
    message: str


class Problem(Answer):
    """Every error of every address (RFC 9457, application/problem+json)."""

    type: Literal["about:blank"]
    status: int = Field(ge=400, le=599)
    title: str
    errors: list[Fault]
    request: str = Field(description="Id of the request, as in the log.")


class Checked(Answer):
    """A job that can be used."""

    ok: Literal[True]
    version: str = Field(pattern="^[0-9a-f]{64}$", description="SHA-256 of the canonical job.")


class JobLine(Answer):
    """A kept job in a list."""

    id: str
    name: str
    revision: int = Field(ge=1)
    created_at: str
    changed_at: str
    href: str


class JobPage(Answer):
    """Jobs, last changed first; ``next`` is the address of the page after, or null."""

    jobs: list[JobLine]
    next: str | None


class StillState(Answer):
    """How far a picture on order is."""

    id: str
    state: Literal["waiting", "running", "done", "failed", "cancelled"]
    step: str
    done: float = Field(ge=0, le=1)
    left_s: float = Field(ge=0)
    href: str
    picture: str | None
    errors: list[Fault]
    fault: str


class CuttingState(Answer):
    """How far a cutting plan is."""

    id: str
    state: Literal["waiting", "running", "done", "stopped", "failed"]
    part: int
    parts: int
    done: float = Field(ge=0, le=1)
    left_s: float = Field(ge=0)
    proven: bool
    gap_share: float | None
    href: str


class StillWish(BaseModel):
    """A picture to make; what is left out has the defaults of ``slatwright still``."""

    model_config = ConfigDict(extra="forbid")

    job: dict[str, Any] = Field(description="The job file itself.")
    finish: str | None = None
    lighting: str | None = None
    view: str | dict[str, Any] = Field(
        "front",
        description="front, seated, left, right, close, wall-2 … round corners, or a camera as an object.",
    )
    width: int = Field(1600, ge=16, le=8192)
    height: int = Field(900, ge=16, le=8192)
    format: Literal["jpg", "png"] = "jpg"
    board: bool = False
    plain: bool = Field(False, description="Without the timber's figure and the coat's gloss.")
    marked: bool = Field(False, description="With marks where a client will see joints, shadow gaps, plates.")
    things: list[Literal["furniture", "person", "card", "steps", "doors"]] = Field(
        default_factory=list,
        description="What stands in it: furniture before hidden zones, a person, a white card, slat steps, "
        "doors that fold back before the slats, open.",
    )
    evening_feel: bool = Field(
        False, description="As an evening feels, the eye not fully used to the light, with a white card."
    )
