"""The list of jobs: new, copy, take away and bring back, in and out as one file."""

import json
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from viewer.demo import demo_bytes
from viewer.job.check import check_text
from viewer.pages.jobs import first_still
from viewer.services import services
from viewer.store.jobs import JobUnknownError

START: dict[str, Any] = {
    "format": 1,
    "name": "",
    "wall": {"width_mm": 3600, "height_mm": 2400},
    "slats": {"width_mm": 40, "depth_mm": 20, "gap_mm": 15},
}
"""A new job: a wall to be measured."""

blueprint = Blueprint("job_list", __name__)


@blueprint.get("/")
def jobs() -> str:
    """Every job that is kept, last changed first."""
    return _page(())


def _page(problems: tuple[tuple[str, str], ...]) -> str:
    taken = request.args.get("taken", "")
    page = {
        "jobs": [
            {
                "name": one.name or _("Without a name"),
                "address": url_for("job_pages.job", name=one.id)
                if services().check(dict(one.document)).job
                else url_for("survey_page.survey", name=one.id),
                "id": one.id,
                "changed": one.changed_at[:10],
                "still": first_still(one.id),
            }
            for one in services().store.jobs.page()
        ],
        "taken": taken,
        "problems": problems,
    }
    return render_template("jobs.html", page=page)


@blueprint.post("/jobs")
def new() -> AnyResponse:
    """A new job: empty, the demo wall, or from a file. 422 names what is wrong with a file."""
    what = request.form.get("what", "new")
    document = dict(START, name=_("New wall"))
    if what == "demo":
        document = json.loads(demo_bytes())
    elif what == "file":
        file = request.files.get("file")
        found = check_text(file.read() if file else b"", names=services().names)
        if not found.document:
            return Response(_page(found.problems), status=422, mimetype="text/html")
        document = dict(found.document)
    kept = services().store.jobs.add(document)
    endpoint = "job_pages.job" if what == "demo" else "survey_page.survey"
    return redirect(url_for(endpoint, name=kept.id))


@blueprint.post("/jobs/<name>/copy")
def copy(name: str) -> AnyResponse:
    """A copy under a name of its own."""
    try:
        was = services().store.jobs.get(name)
    except JobUnknownError:
        abort(404)
    services().store.jobs.copy(name, name=_("{name}, copy").format(name=was.name))
    return redirect(url_for("job_list.jobs"))


@blueprint.post("/jobs/<name>/take-away")
def take_away(name: str) -> AnyResponse:
    """Out of the list; the page that follows offers to bring it back."""
    try:
        services().store.jobs.delete(name)
    except JobUnknownError:
        abort(404)
    return redirect(url_for("job_list.jobs", taken=name))


@blueprint.post("/jobs/<name>/bring-back")
def bring_back(name: str) -> AnyResponse:
    """Undo."""
    try:
        services().store.jobs.restore(name)
    except JobUnknownError:
        abort(404)
    return redirect(url_for("job_list.jobs"))


@blueprint.get("/jobs/<name>/job.json")
def download(name: str) -> Response:
    """The job as one file."""
    try:
        document = services().store.jobs.get(name).document
    except JobUnknownError:
        abort(404)
    text = json.dumps(document, indent=2, ensure_ascii=False) + "\n"
    response = Response(text, mimetype="application/json")
    response.headers["Content-Disposition"] = 'attachment; filename="job.json"'
    return response
