"""An offer: what the client is shown, may choose from, and signs; and the decision that answers it."""

import itertools
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from viewer.signoff.agreed import Tolerances

Sentence = Annotated[str, Field(min_length=1, max_length=500)]
Day = Annotated[str, Field(pattern=r"^\d{4}-\d{2}-\d{2}$")]
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]


class Frozen(BaseModel):
    """A frozen value of the sign-off; unknown keys are problems."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class OfferLine(Frozen):
    """A line to tick, as the maker worded it."""

    key: Annotated[str, Field(pattern=r"^[a-z_]{1,40}$")]
    sentence: Sentence


class Price(Frozen):
    """The fixed price as shown; ``amount`` is a decimal number as text, so that nothing rounds it."""

    amount: Annotated[str, Field(pattern=r"^\d{1,9}(\.\d{1,4})?$")]
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")]
    tax_included: bool


class Picture(Frozen):
    """A still of the offer by the hash of its bytes: records keep what was really shown."""

    finish: str
    lighting: str
    view: str
    sha256: Digest


class Offer(Frozen):
    """One offer. ``job_digest`` is the hash of the job's document; ``price`` None means that it is hidden.

    ``maker`` is who offers, as the client is to read it. ``pictures``: as ``wanted_pictures``.
    """

    maker: Annotated[str, Field(max_length=200)] = ""
    job_digest: Digest
    job_format: Literal[1] = 1
    finishes: Annotated[tuple[str, ...], Field(min_length=1, max_length=3)]
    lightings: Annotated[tuple[str, ...], Field(min_length=1, max_length=4)]
    views: Annotated[tuple[str, ...], Field(min_length=1)] = ("front", "close")
    pictures: tuple[Picture, ...] = ()
    price: Price | None = None
    excluded: tuple[Sentence, ...] = ()
    lines: tuple[OfferLine, ...]
    tolerances: Tolerances = Tolerances()
    expires: Day

    def wanted_pictures(self) -> tuple[tuple[str, str, str], ...]:
        """(finish, lighting, view) of every still of the offer, finish by finish."""
        return tuple(itertools.product(self.finishes, self.lightings, self.views))


class Choice(Frozen):
    """What the client decided. ``ticked`` are keys of lines; ``drawn`` is the hash of a drawn signature."""

    finish: str
    off_cut: Annotated[str, Field(min_length=1, max_length=60)]
    seen_by_day: bool
    seen_under_lamps: bool
    ticked: tuple[str, ...]
    signed_on: Day
    drawn: Digest | None = None
    paper: Digest | None = None


def choice_problems(offer: Offer, choice: Choice) -> list[tuple[str, str]]:
    """Everything that keeps a choice from being signed, as (path, what would be accepted)."""
    problems = []
    if choice.finish not in offer.finishes:
        problems.append(
            ("finish", f'"{choice.finish}" is not offered; expected one of {", ".join(offer.finishes)}')
        )
    keys = [line.key for line in offer.lines]
    for number, key in enumerate(choice.ticked):
        if key not in keys:
            problems.append((f"ticked[{number}]", f'"{key}" is no line of this offer'))
    for line in offer.lines:
        if line.key not in choice.ticked:
            problems.append(("ticked", f"not ticked: {line.sentence}"))
    if not (choice.seen_by_day or choice.seen_under_lamps):
        problems.append(
            ("seen_by_day", "the off-cut must have been seen by day, under the room's lamps, or both")
        )
    if choice.signed_on > offer.expires:
        problems.append(("signed_on", f"the offer ended on {offer.expires}; ask for a new one"))
    return problems
