"""The OpenAPI 3.1 document of the API, made from the models and the table of operations."""

import json
import re
from functools import cache
from importlib.metadata import version
from typing import Any

from flask import Blueprint, Response, jsonify
from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from viewer.api import models
from viewer.api.errors import TITLES
from viewer.api.operations import ANY_OBJECT, GLB, JSON, OPERATIONS, Operation
from viewer.demo import demo_bytes
from viewer.job.schema import job_schema

PROBLEM_TYPE = "application/problem+json"
REF = "#/components/schemas/{model}"
MODELS = (
    models.Problem,
    models.Checked,
    models.JobLine,
    models.JobPage,
    models.StillState,
    models.StillWish,
    models.CuttingState,
)
ETAG = {"ETag": {"schema": {"type": "string"}, "description": "State of what is answered."}}
EVERYWHERE = (403, 405, 421, 500)
"""Statuses of every operation: a foreign page, another method, a foreign host name, a fault of ours."""

blueprint = Blueprint("openapi", __name__)


@blueprint.get("/api/openapi.json")
def document() -> Response:
    """This document."""
    return jsonify(openapi())


@cache
def openapi() -> dict[str, Any]:
    """The document. Treat as read-only: it is made once."""
    paths: dict[str, dict[str, Any]] = {}
    for one in OPERATIONS:
        paths.setdefault(one.path, {})[one.method] = _operation(one)
    return {
        "openapi": "3.1.0",
        "info": {
            "title": "slatwright",
            "version": version("slatwright"),
            "summary": "Slat walls: jobs, what they need, and pictures of them.",
        },
        "paths": paths,
        "components": {"schemas": _schemas()},
    }


def _schemas() -> dict[str, Any]:
    """Models and the job with all that it is made of, each by its name."""
    _refs, made = models_json_schema([(model, "serialization") for model in MODELS], ref_template=REF)
    schemas: dict[str, Any] = dict(made["$defs"])
    job = json.loads(json.dumps(job_schema()).replace("#/$defs/", "#/components/schemas/"))
    schemas |= job.pop("$defs")
    job.pop("$schema")
    return {**schemas, "Job": job}


def _operation(one: Operation) -> dict[str, Any]:
    faults = [*one.faults, *EVERYWHERE, *((412, 428) if one.if_match else ())]
    described: dict[str, Any] = {
        "operationId": one.name,
        "summary": one.words,
        "parameters": [
            *(
                {"name": name, "in": "path", "required": True, "schema": {"type": "string"}}
                for name in re.findall(r"\{(\w+)\}", one.path)
            ),
            *({"name": name, "in": "query", **about} for name, about in one.query.items()),
            *([_header("If-None-Match", required=False)] if one.etag else ()),
            *([_header("If-Match", required=True)] if one.if_match else ()),
        ],
        "responses": {
            **{str(status): _answer(answer, one) for status, answer in one.answers.items()},
            **({"304": {"description": "Not changed."}} if one.etag else {}),
            **{str(status): _fault(status) for status in sorted(faults)},
        },
    }
    if one.body is not None:
        content: dict[str, Any] = {"schema": _schema(one.body)}
        if one.body == "job":
            content["examples"] = {"demo": {"value": json.loads(demo_bytes())}}
        described["requestBody"] = {"required": True, "content": {JSON: content}}
    return described


def _header(name: str, *, required: bool) -> dict[str, Any]:
    return {"name": name, "in": "header", "required": required, "schema": {"type": "string"}}


def _schema(what: type[BaseModel] | str) -> dict[str, Any]:
    if what == ANY_OBJECT:
        return {"type": "object"}
    return {"$ref": REF.format(model="Job" if isinstance(what, str) else what.__name__)}


def _answer(what: type[BaseModel] | str | None, one: Operation) -> dict[str, Any]:
    described: dict[str, Any] = {"description": one.words}
    if one.etag:
        described["headers"] = ETAG
    if what in (GLB, "image/jpeg"):
        kinds = ("image/jpeg", "image/png") if what == "image/jpeg" else (GLB,)
        described["content"] = {kind: {} for kind in kinds}
    elif what is not None:
        described["content"] = {JSON: {"schema": _schema(what)}}
    return described


def _fault(status: int) -> dict[str, Any]:
    return {
        "description": TITLES[status],
        "content": {PROBLEM_TYPE: {"schema": _schema(models.Problem)}},
    }
