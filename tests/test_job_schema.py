"""The JSON Schema of the job file: numeric defaults, limits, a description where the name gives no unit."""

from collections.abc import Iterator
from typing import Any

import pytest

from viewer.job.schema import job_schema, unit_of


def members(schema: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """(object, key, schema) of every key of every object."""
    for name, node in {"job": schema, **schema["$defs"]}.items():
        for key, member in node.get("properties", {}).items():
            yield name, key, member


def test_required_is_what_the_contract_says() -> None:
    assert job_schema()["required"] == ["name", "wall", "slats"]


def test_defaults_are_json_numbers_and_not_text() -> None:
    schema = job_schema()
    assert schema["$defs"]["Panels"]["properties"]["thickness_mm"]["default"] == 12
    assert schema["properties"]["stock"]["default"]["kerf_mm"] == 3
    assert schema["$defs"]["Wall"]["properties"]["left"]["default"]["shadow_gap_mm"] == 0
    for name, key, member in members(schema):
        if member.get("type") in ("number", "integer") and "default" in member:
            default = member["default"]
            assert isinstance(default, int | float), (name, key)
            assert not isinstance(default, bool), (name, key)
            assert member.get("minimum", default) <= default <= member.get("maximum", default), (name, key)


def test_limits_of_the_contract() -> None:
    definitions = job_schema()["$defs"]
    wall, slats = definitions["Wall"]["properties"], definitions["Slats"]["properties"]

    def limits(member: dict[str, Any]) -> tuple[float, float]:
        return member["minimum"], member["maximum"]

    assert limits(wall["width_mm"]) == (100, 60_000)
    assert limits(wall["height_mm"]) == (300, 12_000)
    assert limits(slats["width_mm"]) == (3, 300)
    assert limits(slats["gap_mm"]) == (0, 500)


def test_every_key_that_is_a_length_says_its_unit() -> None:
    for name, key, member in members(job_schema()):
        if unit_of(key) and "$ref" not in member:
            assert "description" in member, (name, key)


def test_notes_are_allowed_everywhere_that_unknown_keys_are_not() -> None:
    schema = job_schema()
    for node in (schema, *schema["$defs"].values()):
        if node.get("additionalProperties") is False:
            assert "^_" in node["patternProperties"]


@pytest.mark.parametrize(
    ("key", "unit"), [("width_mm", "mm"), ("lumens", "lm"), ("cct_k", "K"), ("mm", ""), ("name", "")]
)
def test_units_stand_at_the_end_of_names(key: str, unit: str) -> None:
    assert unit_of(key) == unit


def test_no_list_may_be_endless() -> None:
    """What 5,000 spacers or 2,000 timber lengths cost grows faster than the file that names them."""

    def lists(node: object, path: str = "") -> list[str]:
        if isinstance(node, list):
            return [found for number, item in enumerate(node) for found in lists(item, f"{path}[{number}]")]
        if not isinstance(node, dict):
            return []
        endless = [path] if node.get("type") == "array" and "maxItems" not in node else []
        return endless + [found for key, item in node.items() for found in lists(item, f"{path}.{key}")]

    assert lists(job_schema()) == []
