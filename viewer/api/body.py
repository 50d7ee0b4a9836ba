"""Reading what a request carries: a job, or an object with a job in it."""

from typing import Any

from flask import request

from viewer.api.errors import RequestProblem
from viewer.job.check import CheckResult, JobError
from viewer.job.model import Job
from viewer.job.reading import NotJSONError, read_json
from viewer.services import services


def _bytes() -> bytes:
    if request.mimetype != "application/json":
        raise RequestProblem(415)
    return request.get_data(cache=False)


def posted_result() -> CheckResult:
    """The job that is the body of the request, checked. Raises ``JobError`` with every problem."""
    result = services().check_text(_bytes())
    if result.job is None:
        raise JobError(result.problems)
    return result


def posted_job() -> Job:
    """The checked job that is the body of the request. Raises ``JobError`` with every problem."""
    job = posted_result().job
    assert job is not None
    return job


def posted_object() -> dict[str, Any]:
    """The JSON object that is the body of the request; raises ``RequestProblem``."""
    try:
        value = read_json(_bytes())
    except NotJSONError as error:
        raise RequestProblem(400, (("body", str(error)),)) from None
    if not isinstance(value, dict):
        raise RequestProblem(400, (("body", "expected a JSON object"),))
    return value
