"""The JSON Schema of the job file (draft 2020-12), with every default and limit as the number it is."""

import re
from fractions import Fraction
from functools import cache
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaMode, JsonSchemaValue

from viewer.job.model import Job

DIALECT = "https://json-schema.org/draft/2020-12/schema"

UNITS = {"mm": "mm", "m": "m", "m2": "m²", "lx": "lx", "k": "K", "nm": "nm", "deg": "degrees", "kg": "kg"}
_UNIT_OF_NAME = {"lumens": "lm"}


def unit_of(name: str) -> str:
    """The unit that a key's name ends in (``width_mm`` gives ``mm``), or an empty text."""
    if name in _UNIT_OF_NAME:
        return _UNIT_OF_NAME[name]
    stem, _, suffix = name.rpartition("_")
    return UNITS.get(suffix, "") if stem else ""


def _plain(value: Any) -> Any:
    """A default as JSON: exact lengths as numbers, values of the leaf rooms as objects."""
    if isinstance(value, Fraction):
        return int(value) if value.denominator == 1 else float(value)
    if isinstance(value, BaseModel):
        return {name: _plain(item) for name, item in value}
    if isinstance(value, tuple | list):
        return [_plain(item) for item in value]
    return value


class JobSchema(GenerateJsonSchema):
    """Pydantic's schema, with our numbers as numbers, our units in words and ``_`` keys allowed."""

    schema_dialect = DIALECT

    def encode_default(self, dft: Any) -> Any:
        return super().encode_default(_plain(dft))

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False  # "Width Mm" says less than the key itself

    def model_schema(self, schema: Any) -> JsonSchemaValue:
        built = super().model_schema(schema)
        for name, member in built.get("properties", {}).items():
            unit = unit_of(name)
            if unit and "description" not in member and "$ref" not in member:
                member["description"] = f"In {unit}."
        if "description" in built:
            built["description"] = re.sub(r"\s+", " ", built["description"].replace("``", "")).strip()
        if built.get("additionalProperties") is False:
            built["patternProperties"] = {"^_": {"description": "Kept and ignored."}}
        return built


@cache
def job_schema(mode: JsonSchemaMode = "validation") -> dict[str, Any]:
    """The JSON Schema of the current job format. Treat as read-only: it is made once."""
    return {"$schema": DIALECT, **Job.model_json_schema(schema_generator=JobSchema, mode=mode)}
