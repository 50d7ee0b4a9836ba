"""One error shape for every address under /api (problem details, RFC 9457), a page for people or plain words.

    {"type": "about:blank", "status": 422, "title": "This job cannot be used",
     "errors": [{"path": "openings[0].left_mm", "message": "4300 lies beyond the wall's 4200"}],
     "request": "5f2c0a9be1d4"}

``errors`` is never absent; it is empty where no place in the job is at fault. The text of an unexpected fault
never leaves the server.
"""

import logging
from gettext import gettext as _
from typing import Any

from flask import Flask, Response, current_app, jsonify, make_response, render_template, request
from werkzeug.exceptions import HTTPException

from viewer.access import owner_here
from viewer.job.check import JobError
from viewer.log import event, keep_failure, request_id
from viewer.services import services

TITLES = {
    400: "This request could not be read",
    403: "This write does not come from our own pages",
    404: "Nothing stands at this address",
    405: "This address does not do that",
    409: "That is not possible now",
    412: "That was changed meanwhile",
    413: "That is larger than what is taken in here",
    415: "Expected the job as application/json",
    421: "This host name is not ours",
    422: "This job cannot be used",
    428: "Expected the state that this change is for",
    429: "Too many of these at once; try again in a moment",
    500: "An unexpected fault of this program",
    503: "This cannot be made here at present",
}


PLAIN = (421, 500, 503)
"""Answered in plain words: whose page it would be is not known, or making one may fail likewise."""


class RequestProblem(Exception):  # noqa: N818 # an answer to the client, not a fault of ours
    """A request that cannot be answered as it is: a status and (place, what would be accepted) pairs."""

    def __init__(self, status: int, problems: tuple[tuple[str, str], ...] = ()) -> None:
        self.status = status
        self.problems = problems
        super().__init__(TITLES[status])


def error_body(status: int, problems: tuple[tuple[str, str], ...] = ()) -> dict[str, Any]:
    """The one error shape."""
    return {
        "type": "about:blank",
        "status": status,
        "title": TITLES.get(status, "This request could not be answered"),
        "errors": [{"path": path, "message": message} for path, message in problems],
        "request": request_id.get(),
    }


def _answer(status: int, problems: tuple[tuple[str, str], ...] = ()) -> Response:
    body = error_body(status, problems)
    if request.path.startswith("/api/") or request.accept_mimetypes.best == "application/json":
        response = jsonify(body)
        response.mimetype = "application/problem+json"
    elif (
        status not in PLAIN
        and request.accept_mimetypes.best_match(["text/plain", "text/html"]) == "text/html"
    ):
        response = make_response(_page(body))
    else:
        lines = [body["title"] + ".", *(f"{path}: {message}" for path, message in problems)]
        response = make_response("\n".join(lines) + "\n", {"Content-Type": "text/plain; charset=utf-8"})
    response.status_code = status
    return response


def _page(body: dict[str, Any]) -> str:
    advice = {
        404: _(
            "It may have been mistyped, or what stood there was taken away. A client asks for a new link."
        ),
        413: _("At most {size} MB are taken in at once; what was kept still stands.").format(
            size=f"{(request.max_content_length or 0) / 1e6:g}"
        ),
        422: _("Put it right in the survey or in the job file, and open this page again."),
    }
    page = {
        "title": body["title"],
        "problems": body["errors"],
        "again": advice.get(
            body["status"], _("Go back one page and load it anew; what was kept still stands.")
        ),
        "start": "/" if owner_here() else "",
        # a client's link that opens nothing is no place for the maker's way in
        "sign_in": "/sign-in" if _may_sign_in(body["status"]) else "",
    }
    return render_template("error.html", page=page)


def _may_sign_in(status: int) -> bool:
    return status == 404 and not owner_here() and not request.path.startswith("/link/")


def _job_error(error: JobError) -> Response:
    return _answer(422, error.problems)


def _request_problem(error: RequestProblem) -> Response:
    return _answer(error.status, error.problems)


def _http_error(error: HTTPException) -> Response:
    response = _answer(error.code or 500)
    for name, value in error.get_headers():
        if name.lower() in ("allow", "retry-after"):
            response.headers[name] = value
    return response


def _unexpected(error: Exception) -> Response:
    kept = keep_failure(error, services().settings.state_dir)
    event("fault", level=logging.ERROR, kind=type(error).__name__, kept=str(kept))
    if current_app.testing:
        raise error
    return _answer(500)


def init_app(app: Flask) -> None:
    """Give every error of an application the one shape."""
    app.register_error_handler(JobError, _job_error)
    app.register_error_handler(RequestProblem, _request_problem)
    app.register_error_handler(HTTPException, _http_error)
    app.register_error_handler(Exception, _unexpected)
