"""What is chosen: timber + stain + coats + topcoat + backing, by catalogue name (job file ``finish``)."""

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Finish(BaseModel):
    """One finish. Empty names mean the first entry of the catalogue of that kind."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = ""
    timber: str = ""
    stain: str = ""
    coats: Annotated[int, Field(ge=0, le=6)] = 1
    topcoat: str = ""
    fabric: str = ""
