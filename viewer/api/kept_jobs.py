"""Kept jobs over the API: pages of them, and one by its id with an ETag that guards every write."""

import re
from base64 import b64decode, urlsafe_b64encode
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, jsonify, request, url_for

from viewer.api.body import posted_result
from viewer.api.errors import RequestProblem
from viewer.services import services
from viewer.store.jobs import JobUnknownError, SavedMeanwhileError, StoredJob

PAGE, MOST = 20, 100

blueprint = Blueprint("kept_jobs", __name__, url_prefix="/api/jobs")


@blueprint.get("")
def page() -> Response:
    """``?size=`` jobs, last changed first, after those of ``?after=``."""
    size, after = _paging()
    found = services().store.jobs.page(before=after, size=size + 1)
    more = url_for("kept_jobs.page", size=size, after=_cursor(found[size - 1])) if len(found) > size else None
    return jsonify({"jobs": [_line(one) for one in found[:size]], "next": more})


@blueprint.post("")
def add() -> tuple[Response, int, dict[str, str]]:
    """Keep a job that can be used; 201 and where it stands."""
    made = services().store.jobs.add(posted_result().document)
    response = jsonify(_line(made))
    response.set_etag(str(made.revision))
    return response, 201, {"Location": _href(made)}


@blueprint.get("/<job_id>")
def get(job_id: str) -> Response:
    """The document as it was typed."""
    found = _found(job_id)
    response = jsonify(dict(found.document))
    response.set_etag(str(found.revision))
    return response


@blueprint.put("/<job_id>")
def save(job_id: str) -> Response:
    """Replace the document, if nobody else did meanwhile."""
    revision = _matching(_found(job_id))
    document = posted_result().document
    try:
        made = services().store.jobs.save(job_id, document, revision=revision)
    except SavedMeanwhileError as error:
        raise _changed(error.current) from None
    response = jsonify(_line(made))
    response.set_etag(str(made.revision))
    return response


@blueprint.delete("/<job_id>")
def delete(job_id: str) -> tuple[str, int]:
    """Take it out of the list, if nobody else changed it meanwhile."""
    revision = _matching(_found(job_id))
    try:
        services().store.jobs.delete(job_id, revision=revision)
    except SavedMeanwhileError as error:
        raise _changed(error.current) from None
    return "", 204


def _found(job_id: str) -> StoredJob:
    if not re.fullmatch("[0-9a-z]+", job_id):  # nothing that a database would have to refuse
        raise RequestProblem(404)
    try:
        return services().store.jobs.get(job_id)
    except JobUnknownError:
        raise RequestProblem(404) from None


def _matching(found: StoredJob) -> int:
    """The revision that If-Match names: the present one, or the request is refused."""
    if not request.if_match:
        raise RequestProblem(428, (("If-Match", _("expected the ETag that was read")),))
    if not request.if_match.contains(str(found.revision)):
        raise _changed(found)
    return found.revision


def _changed(found: StoredJob) -> RequestProblem:
    words = _('expected "{revision}", the present one').format(revision=found.revision)
    return RequestProblem(412, (("If-Match", words),))


def _paging() -> tuple[int, tuple[str, str] | None]:
    problems = []
    text = request.args.get("size", str(PAGE))
    size = int(text) if text.isascii() and text.isdecimal() and len(text) < 4 else 0
    if not 1 <= size <= MOST:
        problems.append(("size", _("expected a whole number from 1 to {most}").format(most=MOST)))
    after, given = None, request.args.get("after")
    if given is not None:
        after = _seen(given)
        if after is None:
            problems.append(("after", _("expected what the address in next has")))
    if problems:
        raise RequestProblem(422, tuple(problems))
    return size, after


def _seen(cursor: str) -> tuple[str, str] | None:
    """Moment and id of the last job of the page before; None for what no page gave."""
    try:
        text = b64decode(cursor.encode(), altchars=b"-_", validate=True).decode("ascii")
    except ValueError:
        return None
    found = re.fullmatch(r"([0-9T:.Z+-]+),([0-9a-z]+)", text)
    return (found[1], found[2]) if found else None


def _cursor(last: StoredJob) -> str:
    return urlsafe_b64encode(f"{last.changed_at},{last.id}".encode()).decode()


def _href(one: StoredJob) -> str:
    return url_for("kept_jobs.get", job_id=one.id)


def _line(one: StoredJob) -> dict[str, Any]:
    return {
        "id": one.id,
        "name": one.name,
        "revision": one.revision,
        "created_at": one.created_at,
        "changed_at": one.changed_at,
        "href": _href(one),
    }
