"""The list of jobs: new, copy, take away and bring back, in and out as one file."""

import json
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, current_app, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from viewer.answers.ballpark import ballpark_wall
from viewer.demo import demo_bytes
from viewer.guard import takes_up_to
from viewer.job.reading import Problem
from viewer.local_time import local_day
from viewer.pages.job_files import take_in
from viewer.pages.looks import look_of
from viewer.pages.opened import kept
from viewer.services import services
from viewer.store.jobs import JobUnknownError, StoredJob

START: dict[str, Any] = {
    "format": 1,
    "name": "",
    "wall": {"width_mm": 3600, "height_mm": 2400},
    "slats": {"width_mm": 40, "depth_mm": 20, "gap_mm": 15},
}
"""A new job: a wall to be measured."""
MOST_FILE_BYTES = 120_000_000
"""A job with two dozen photos is about half of this."""
A_PAGE = 24

blueprint = Blueprint("job_list", __name__)


@blueprint.get("/")
def jobs() -> str:
    """The kept jobs, last changed first, some at a time."""
    return _page(())


def _page(problems: tuple[Problem, ...]) -> str:
    shown = services().store.jobs.page(before=_before(), size=A_PAGE + 1)
    last = shown[A_PAGE - 1] if len(shown) > A_PAGE else None
    page = {
        "jobs": [_card(one) for one in shown[:A_PAGE]],
        "older": url_for("job_list.jobs", before=f"{last.changed_at} {last.id}") if last else "",
        "newer": url_for("job_list.jobs") if "before" in request.args else "",
        "ballpark": "/ballpark" if "ballpark" in current_app.blueprints else "",
        "taken": _taken(),
        "problems": problems,
    }
    return render_template("jobs.html", page=page)


def _before() -> tuple[str, str] | None:
    changed_at, _space, job_id = request.args.get("before", "").partition(" ")
    return (changed_at, job_id) if job_id else None


def _taken() -> dict[str, str] | None:
    """The job that was just taken out of the list, as long as it is out."""
    name = request.args.get("taken", "")
    try:
        one = services().store.jobs.get(name, deleted_too=True)
    except JobUnknownError:
        return None
    return {"id": one.id, "name": one.name or _("Without a name")} if one.deleted_at else None


def _card(one: StoredJob) -> dict[str, Any]:
    version, look = look_of(one)
    endpoint = "job_pages.job" if look.ready else "survey_page.survey"
    return {
        "id": one.id,
        "name": one.name or _("Without a name"),
        "address": url_for(endpoint, name=one.id),
        "changed": local_day(one.changed_at),
        "picture": url_for("job_list.picture", name=one.id, v=version[:16]) if look.svg else "",
        "ready": look.ready,
        "words": look.words,
    }


@blueprint.get("/jobs/<name>/small.svg")
def picture(name: str) -> Response:
    """The wall as a small picture in the colours of its finish."""
    _version, look = look_of(_kept(name))
    if not look.svg:
        abort(404)
    return kept(look.svg.encode(), "image/svg+xml")


@blueprint.post("/jobs")
@takes_up_to(MOST_FILE_BYTES)
def new() -> AnyResponse:
    """A new job: empty, a ballpark's wall, the demo wall, or from a file. 422 names what is wrong."""
    what = request.form.get("what", "new")
    if what == "file":
        file = request.files.get("file")
        taken, problems = take_in(file.read() if file else b"")
        if taken is None:
            return Response(_page(problems), status=422, mimetype="text/html")
        return redirect(url_for("survey_page.survey", name=taken.id))
    document = json.loads(demo_bytes()) if what == "demo" else dict(START, name=_("New wall"))
    if what == "ballpark":
        wall, problems = ballpark_wall(request.form)
        if problems:
            return Response(_page(problems), status=422, mimetype="text/html")
        document["wall"] = wall
    added = services().store.jobs.add(document)
    endpoint = "job_pages.job" if what == "demo" else "survey_page.survey"
    return redirect(url_for(endpoint, name=added.id))


@blueprint.post("/jobs/<name>/copy")
def copy(name: str) -> AnyResponse:
    """A copy under a name of its own, with the photos of the wall as it was."""
    was, store = _kept(name), services().store
    copied = store.jobs.copy(name, name=_("{name}, copy").format(name=was.name))
    for photo in store.photos.of_job(name, "before"):
        store.photos.add(copied.id, "before", photo.data, photo.media_type)
    return redirect(url_for("job_list.jobs"))


@blueprint.post("/jobs/<name>/take-away")
def take_away(name: str) -> AnyResponse:
    """Out of the list; the page that follows offers to bring it back."""
    _kept(name)
    services().store.jobs.delete(name)
    return redirect(url_for("job_list.jobs", taken=name))


@blueprint.post("/jobs/<name>/bring-back")
def bring_back(name: str) -> AnyResponse:
    """Undo."""
    try:
        services().store.jobs.restore(name)
    except JobUnknownError:
        abort(404)
    return redirect(url_for("job_list.jobs"))


def _kept(name: str) -> StoredJob:
    try:
        return services().store.jobs.get(name)
    except JobUnknownError:
        abort(404)
