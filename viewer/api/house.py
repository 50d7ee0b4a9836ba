"""What the program says of itself: health, schema, catalogue, the built-in job."""

from importlib.metadata import version
from typing import Any

from flask import Blueprint, Response, jsonify

from viewer.answers.catalogue import catalogue_answer
from viewer.job.schema import job_schema
from viewer.services import services

blueprint = Blueprint("house", __name__)


@blueprint.get("/healthz")
def health() -> dict[str, Any]:
    """200 while the application answers; nothing about the machine or its jobs."""
    return {"status": "ok", "version": version("slatwright")}


@blueprint.get("/api/schema")
def schema() -> Response:
    """JSON Schema of the job file."""
    return jsonify(job_schema())


@blueprint.get("/api/catalogue")
def catalogue() -> Response:
    """Names by kind, each with state and source."""
    return jsonify(catalogue_answer(services().catalogue))


@blueprint.get("/api/jobs/demo")
def demo() -> Response:
    """The built-in job's document."""
    return jsonify(services().demo.document)
