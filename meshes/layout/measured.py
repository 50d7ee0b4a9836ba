"""Lengths measured at three places: one number stays allowed, and as a number it is the smallest of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any, Self

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from meshes.layout.lengths import Within, plain


class Measured(Fraction):
    """The smallest of several measurements, with all of them in ``at`` [mm], in the order they are named."""

    __slots__ = ("at",)
    at: tuple[Fraction, ...]

    def __new__(cls, at: Sequence[Fraction]) -> Self:
        made = super().__new__(cls, min(at))
        made.at = tuple(at)
        return made

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Measured):
            return self.at == other.at
        return super().__eq__(other)

    __hash__ = Fraction.__hash__

    def __reduce__(self) -> Any:
        return (Measured, (self.at,))

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: Any) -> Self:
        return self


def points(value: Fraction) -> tuple[Fraction, Fraction, Fraction]:
    """The three measurements [mm]; a single number stands for all of them."""
    if isinstance(value, Measured):
        first, middle, last = value.at
        return first, middle, last
    return value, value, value


@dataclass(frozen=True, slots=True)
class AtThree:
    """Metadata for ``Annotated[Fraction, AtThree(low, high, names)]``: a number, or an object of three."""

    low: float
    high: float
    names: tuple[str, str, str]

    def _parse(self, value: Any) -> Fraction:
        limits = Within(self.low, self.high)
        if isinstance(value, Measured) or not isinstance(value, dict):
            return value if isinstance(value, Measured) else limits.parse(value)
        if set(value) != set(self.names):
            first, middle, last = self.names
            raise PydanticCustomError(
                "three_points",
                "expected one number, or an object with {first}, {middle} and {last}",
                {"first": first, "middle": middle, "last": last},
            )
        return Measured([limits.parse(value[name]) for name in self.names])

    def _serialize(self, value: Fraction) -> Any:
        if isinstance(value, Measured):
            return {name: plain(length) for name, length in zip(self.names, value.at, strict=True)}
        return plain(value)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self._parse,
            serialization=core_schema.plain_serializer_function_ser_schema(self._serialize),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        number = {"type": "number", "minimum": self.low, "maximum": self.high}
        three = {
            "type": "object",
            "properties": dict.fromkeys(self.names, number),
            "required": list(self.names),
            "additionalProperties": False,
        }
        return {"minimum": self.low, "maximum": self.high, "anyOf": [number, three]}
