"""Photos of the wall as it was before: decoded apart, and kept without the place where they were taken."""

import io
from gettext import gettext as _

from flask import Blueprint, Response, abort, redirect, request, url_for
from PIL import Image
from werkzeug.wrappers import Response as AnyResponse

from viewer.guard import takes_up_to
from viewer.job.reading import Problem
from viewer.pages.opened import A_YEAR_S, kept_job
from viewer.pages.photo_list import THUMB_WIDTH
from viewer.pages.survey import page_of
from viewer.services import services
from viewer.store.jobs import JobUnknownError
from viewer.store.photos import Photo, PhotoUnknownError, id_of_key
from viewer.uploads import MOST_PHOTO_BYTES, UploadError, photo

MOST_PHOTOS = 24
"""Of one job."""
AT_ONCE = 4
MOST_BYTES = AT_ONCE * MOST_PHOTO_BYTES

blueprint = Blueprint("photos", __name__)


@blueprint.post("/jobs/<name>/photos")
@takes_up_to(MOST_BYTES)
def add(name: str) -> AnyResponse:
    """Keep photos; those that cannot be used are named, the others are kept; with a ``key``, once."""
    found = kept_job(name)
    if found is None:
        abort(404)
    store = services().store
    try:
        job_id = store.jobs.get(name).id
    except JobUnknownError:  # the built-in job becomes one that is kept
        job_id = store.jobs.add(found.document).id
    files = [one for one in request.files.getlist("photo") if one.filename]
    problems: list[Problem] = [] if files else [(_("Photos"), _("expected a photo as JPEG, PNG or WebP"))]
    kept_before = {one.id for one in store.photos.of_job(job_id, "before")}
    room = MOST_PHOTOS - len(kept_before)
    key = request.form.get("key", "")
    for number, file in enumerate(files):
        photo_id = id_of_key(job_id, f"{key} {number}") if key else None
        if photo_id in kept_before:
            continue  # it came, but the answer was lost on the way
        if room < 1:
            problems.append(
                (_name(file.filename), _("expected at most {most} photos").format(most=MOST_PHOTOS))
            )
            continue
        try:
            store.photos.add(job_id, "before", photo(file.read()), "image/jpeg", photo_id=photo_id)
            room -= 1
        except UploadError as error:
            problems.append((_name(file.filename), str(error)))
    if problems:
        page = page_of(job_id, services().check(found.document), {}, photo_problems=problems)
        return Response(page, status=422, mimetype="text/html")
    return redirect(url_for("survey_page.survey", name=job_id, _anchor="photos"))


@blueprint.get("/jobs/<name>/photos/<photo_id>.jpg")
def before(name: str, photo_id: str) -> Response:
    """One photo; ``?width=480`` smaller."""
    data = _photo(name, photo_id).data
    if request.args.get("width") == str(THUMB_WIDTH):
        with Image.open(io.BytesIO(data)) as image:  # our own file
            image.thumbnail((THUMB_WIDTH, THUMB_WIDTH))
            stream = io.BytesIO()
            image.save(stream, "JPEG", quality=85)
            data = stream.getvalue()
    response = Response(data, mimetype="image/jpeg")
    response.headers["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return response


@blueprint.post("/jobs/<name>/photos/<photo_id>/take-away")
def take_away(name: str, photo_id: str) -> AnyResponse:
    """Take a photo away for good."""
    _photo(name, photo_id)
    services().store.photos.remove(name, photo_id)
    return redirect(url_for("survey_page.survey", name=name, _anchor="photos"))


def _photo(name: str, photo_id: str) -> Photo:
    try:
        found = services().store.photos.get(photo_id)
    except PhotoUnknownError:
        abort(404)
    if found.job_id != name or found.purpose != "before":
        abort(404)
    return found


def _name(filename: str | None) -> str:
    return "".join(sign for sign in filename or "" if sign.isprintable())[:60] or _("Photo")
