"""A number with where it comes from: no optical constant stands in the catalogue without source and tag."""

from dataclasses import dataclass
from typing import Literal, TypeAlias, cast, get_args

Tag: TypeAlias = Literal["published", "computed", "measured", "practice", "judgement"]
TAGS: tuple[Tag, ...] = cast(tuple[Tag, ...], get_args(Tag))
"""published: read in the named source · computed: follows from a published formula · measured: on the maker's
own material · practice: common practice of the trade, adjustable · judgement: from memory or chosen by
eye."""

State: TypeAlias = Literal["Indicative", "Measured"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """One value with its source and tag; ``spread`` is a standard deviation where the source gives one."""

    value: float
    source: str
    tag: Tag
    spread: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """Low, likely and high of one quantity, with its source and tag."""

    low: float
    likely: float
    high: float
    source: str
    tag: Tag
