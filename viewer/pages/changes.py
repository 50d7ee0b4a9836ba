"""What changed in a job since it was offered or bought from, in words and quantities."""

from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from viewer.answers.changes import changes_answer
from viewer.job.canonical import digest
from viewer.local_time import local_moment
from viewer.pages.opened import kept_job, opened
from viewer.services import services

blueprint = Blueprint("changes_page", __name__)


@blueprint.get("/jobs/<name>/changes")
def changes(name: str) -> str:
    """The job beside a kept state of it: the one asked for, or the last kept."""
    on, found = opened(name), kept_job(name)
    assert found is not None
    kept = services().store.jobs.versions(name)
    wanted = request.args.get("since", kept[-1][0][:8] if kept else "")
    before = next((document for whole, _at, document in kept if whole.startswith(wanted)), None)
    if wanted and before is None:
        abort(404)
    page: dict[str, Any] = {
        **on.heading("sheets_page.sheets"),
        "address": url_for("changes_page.keep", name=name),
        "sheets": url_for("sheets_page.sheets", name=name),
        "now": on.version[:8],
        "kept_now": any(whole == digest(found.document) for whole, _at, _document in kept),
        "versions": [
            (
                whole[:8],
                local_moment(at),
                url_for("changes_page.changes", name=name, since=whole[:8]),
                whole[:8] == wanted,
            )
            for whole, at, _document in kept
        ],
        "answer": None,
        "unreadable": False,
    }
    if before is not None:
        was = services().check_state(before)
        page["unreadable"] = was.job is None
        if was.job is not None:
            page["answer"] = changes_answer(
                (was.job, was.document), (on.job, found.document), services().catalogue, services().prices
            )
    return render_template("changes.html", page=page)


@blueprint.post("/jobs/<name>/changes")
def keep(name: str) -> Response:
    """Keep the present state as the one that was bought and cut from."""
    opened(name)
    found = kept_job(name)
    assert found is not None
    jobs = services().store.jobs
    if name == "demo":
        jobs.keep_as("demo", services().demo.document if found is services().demo else found.document)
    jobs.keep_version(name, found.document)
    return redirect(url_for("changes_page.changes", name=name))
