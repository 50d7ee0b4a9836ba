"""Exact lengths: decimal millimetres from the job file become Fractions and stay Fractions."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Any

from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema


def exact(value: int | float | Decimal | Fraction) -> Fraction:
    """The Fraction that a person means by a decimal number: ``exact(0.1) == Fraction(1, 10)``."""
    return Fraction(str(value)) if isinstance(value, float) else Fraction(value)


def rounded_mm(value: Fraction) -> int | float:
    """A length as printed: rounded once, half to even, to 0.001 mm; whole numbers without a point."""
    thousandths = round(value * 1000)
    return thousandths // 1000 if thousandths % 1000 == 0 else thousandths / 1000


def plain(value: Fraction) -> int | float:
    """An exact number as JSON carries it."""
    return int(value) if value.denominator == 1 else float(value)


@dataclass(frozen=True, slots=True)
class Within:
    """Metadata for ``Annotated[Fraction, Within(low, high)]``: an exact number, both limits accepted."""

    low: float
    high: float
    unit: str = "mm"

    def parse(self, value: Any) -> Fraction:
        """The exact number within the limits; raises pydantic's error that says what is accepted."""
        accepted = f"{self.low:g} to {self.high:g} {self.unit}"
        numeric = isinstance(value, int | float | Decimal | Fraction) and not isinstance(value, bool)
        if not numeric or value != value or value in (float("inf"), float("-inf")):
            raise PydanticCustomError("length", "expected a number from {accepted}", {"accepted": accepted})
        length = exact(value)
        if not self.low <= length <= self.high:
            raise PydanticCustomError(
                "length",
                "{given} is outside the accepted {accepted}",
                {"given": f"{float(length):g}", "accepted": accepted},
            )
        return length

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.parse,
            serialization=core_schema.plain_serializer_function_ser_schema(plain),
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {"type": "number", "minimum": self.low, "maximum": self.high}


class Value(BaseModel):
    """A frozen value of the job file; unknown keys are problems."""

    model_config = ConfigDict(frozen=True, extra="forbid")
