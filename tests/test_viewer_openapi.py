"""The OpenAPI document: it names what answers, and what answers keeps to it under generated requests.

Fifteen examples an operation; many more, and one wrong value after the other in every place, by

    API_EXAMPLES=200 .venv/bin/pytest tests/test_viewer_openapi.py
"""

import os
import re
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

import schemathesis
from flask import Flask
from hypothesis import HealthCheck, settings
from schemathesis.checks import not_a_server_error
from schemathesis.config import SchemathesisConfig
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from signoff_site import site

from viewer.api.openapi import openapi

FEW = 15
EXAMPLES = int(os.environ.get("API_EXAMPLES", FEW))
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]


@cache
def app() -> Flask:
    """One application for all requests, with a job in it; its stills are a stand-in's."""
    made = site(Path(tempfile.mkdtemp(prefix="slatwright-openapi-")))
    made.testing = False  # a fault must come back as an answer, for the check to see it
    return made


CONFIG = SchemathesisConfig.from_dict({"phases": {"coverage": {"enabled": EXAMPLES > FEW}}})
schema = schemathesis.openapi.from_wsgi("/api/openapi.json", app(), config=CONFIG)


def test_every_address_of_the_api_is_described_and_none_that_is_not_there() -> None:
    has = {
        (method.lower(), re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule))
        for rule in app().url_map.iter_rules()
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
        if rule.rule.startswith("/api/")
    }
    assert {(method, path) for path, methods in openapi()["paths"].items() for method in methods} == has


@schema.parametrize()
@settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
def test_what_answers_keeps_to_the_document(case: Any) -> None:
    case.call_and_validate(checks=CHECKS)
