"""A measured off-cut: a photograph, four corners of each thing in it, and its colour or why there is none."""

import io
from contextlib import suppress
from gettext import gettext as _

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from PIL import Image
from werkzeug.wrappers import Response as AnyResponse

from finishes.adaptation import D65_XYZ, adapted_srgb
from finishes.choice import Finish
from finishes.cielab import xyz_from_lab
from finishes.photo import Corners
from viewer.guard import takes_up_to
from viewer.job.choices import chosen_finish
from viewer.job.reading import Problem
from viewer.local_time import local_day, today
from viewer.measuring import (
    MOST_BYTES,
    VINTAGES,
    Measurement,
    MeasuringError,
    PhotoGiven,
    corners_of,
    measure,
    preview,
    with_off_cut,
)
from viewer.pages.job_view import finish_words
from viewer.pages.opened import A_YEAR_S, Opened, first_entries, opened
from viewer.pages.saving import redone, save
from viewer.services import services
from viewer.store.jobs import JobUnknownError
from viewer.store.photos import Photo, PhotoUnknownError
from viewer.uploads import UploadError

PURPOSE = "sample"
MOST_KEPT = 12
START = {
    "off_cut": "0.15,0.20 0.45,0.20 0.45,0.80 0.15,0.80",
    "chart": "0.55,0.25 0.90,0.25 0.90,0.75 0.55,0.75",
    "card": "0.60,0.30 0.85,0.30 0.85,0.70 0.60,0.70",
}
"""Where outlines stand before they are drawn, as shares of the picture."""

blueprint = Blueprint("sample_page", __name__, url_prefix="/jobs/<name>/sample")


@blueprint.get("")
def sample(name: str) -> str:
    """What to photograph, and the photographs that are there."""
    return _list(opened(name), ())


@blueprint.post("")
@takes_up_to(MOST_BYTES)
def add(name: str) -> AnyResponse:
    """Keep a photograph; 422 says why it cannot be used."""
    on, store = opened(name), services().store
    try:
        job_id = store.jobs.get(name).id
    except JobUnknownError:  # the built-in job becomes one that is kept
        job_id = store.jobs.add(on.document).id
    file = request.files.get("photo")
    try:
        if file is None or not file.filename:
            raise UploadError(_("expected a photograph as JPEG, PNG or TIFF"))
        if len(store.photos.of_job(job_id, PURPOSE)) >= MOST_KEPT:
            raise UploadError(_("expected at most {most} photographs").format(most=MOST_KEPT))
        kept = store.photos.add(job_id, PURPOSE, preview(file.read()), "image/png")
    except UploadError as error:
        return Response(_list(on, (("photo", str(error)),)), status=422, mimetype="text/html")
    return redirect(url_for("sample_page.mark", name=job_id, photo_id=kept.id))


@blueprint.get("/<photo_id>")
def mark(name: str, photo_id: str) -> str:
    """The photograph with the outlines that are dragged to the things in it."""
    return _page(opened(name), _photo(name, photo_id), None, ())


@blueprint.post("/<photo_id>")
@redone
def read(name: str, photo_id: str) -> AnyResponse:
    """Measure, and keep the colour in the finish where that is asked for; 422 with every reason why not."""
    on, photo = opened(name), _photo(name, photo_id)
    place, finish = _finishes(on)[_chosen(on)][:2]
    form = request.form
    try:
        found = measure(
            [_given(photo)],
            finish,
            services().catalogue,
            name=form.get("name", "").strip(),
            date=form.get("date", "").strip(),
            lamp=form.get("lamp", "").strip(),
        )
    except MeasuringError as error:
        return Response(_page(on, photo, None, error.problems), status=422, mimetype="text/html")
    if form.get("do") != "keep":
        return Response(_page(on, photo, found, ()), mimetype="text/html")
    chosen = on.document.get("finish") or finish.model_dump(mode="json", exclude_defaults=True)
    document = with_off_cut({**on.document, "finish": chosen}, place, found.off_cut)
    return redirect(url_for("finish_page.finish", name=save(name, document, on.revision)))


@blueprint.post("/<photo_id>/take-away")
def take_away(name: str, photo_id: str) -> AnyResponse:
    """Take a photograph away; what was measured from it stays."""
    _photo(name, photo_id)
    services().store.photos.remove(name, photo_id)
    return redirect(url_for("sample_page.sample", name=name))


@blueprint.get("/<photo_id>.png")
def photo(name: str, photo_id: str) -> Response:
    """The photograph as it is kept."""
    response = Response(_photo(name, photo_id).data, mimetype="image/png")
    response.headers["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return response


def _photo(name: str, photo_id: str) -> Photo:
    try:
        found = services().store.photos.get(photo_id)
    except PhotoUnknownError:
        abort(404)
    if found.job_id != name or found.purpose != PURPOSE:
        abort(404)
    return found


def _finishes(on: Opened) -> list[tuple[str, Finish, str]]:
    """Place in the job, finish and words of every finish that an off-cut can be of."""
    listed = [("finish", chosen_finish(on.job))]
    listed += [(f"finishes[{number}]", one) for number, one in enumerate(on.job.finishes)]
    names = first_entries()
    return [
        (place, one, f"{one.name + ': ' if one.name else ''}{finish_words(one, names)}")
        for place, one in listed
    ]


def _chosen(on: Opened) -> int:
    places = [place for place, _one, _words in _finishes(on)]
    given = request.form.get("of", "")
    return places.index(given) if given in places else 0


def _given(photo: Photo) -> PhotoGiven:
    form = request.form
    beside = form.get("beside", "chart")
    found: dict[str, Corners] = {}
    problems: list[Problem] = []
    for key in ("off_cut", beside if beside in ("chart", "card") else "chart"):
        try:
            found[key] = corners_of(form.get(key, ""))
        except ValueError as error:
            problems.append((f"photo[0].{key}", str(error)))
    if problems:
        raise MeasuringError(problems)
    card_y = 0.0
    with suppress(ValueError):  # what is no number is refused as one outside the range
        card_y = float(form.get("card_y", "0.18").replace(",", "."))
    return PhotoGiven(
        data=photo.data,
        off_cut=found["off_cut"],
        chart=found.get("chart"),
        card=found.get("card"),
        vintage=form.get("vintage", VINTAGES[0]),
        card_y=card_y if "card" in found else 0.18,
    )


def _list(on: Opened, problems: tuple[Problem, ...]) -> str:
    page = {
        **on.heading("finish_page.finish"),
        "address": url_for("sample_page.sample", name=on.name),
        "problems": problems,
        "photos": [
            {
                "src": url_for("sample_page.photo", name=on.name, photo_id=one.id),
                "mark": url_for("sample_page.mark", name=on.name, photo_id=one.id),
                "away": url_for("sample_page.take_away", name=on.name, photo_id=one.id),
                "added": local_day(one.added_at),
            }
            for one in services().store.photos.of_job(on.name, PURPOSE)
        ],
    }
    return render_template("sample.html", page=page)


def _page(on: Opened, photo: Photo, found: Measurement | None, problems: tuple[Problem, ...]) -> str:
    with Image.open(io.BytesIO(photo.data)) as image:  # our own file
        width, height = image.size
    form = request.form
    beside = form.get("beside", "chart")
    typed = {key: form.get(key, start) for key, start in START.items()}
    outlines = {"off_cut": _("the off-cut"), "chart": _("the chart"), "card": _("the grey card")}
    corners = (_("top left"), _("top right"), _("bottom right"), _("bottom left"))
    page = {
        **on.heading("finish_page.finish"),
        "address": url_for("sample_page.mark", name=on.name, photo_id=photo.id),
        "back": url_for("sample_page.sample", name=on.name),
        "src": url_for("sample_page.photo", name=on.name, photo_id=photo.id),
        "width": 1000,
        "height": round(1000 * height / width),
        "beside": beside,
        "outlines": [(key, words, typed[key]) for key, words in outlines.items()],
        "corners": corners,
        "finishes": [(place, words) for place, _one, words in _finishes(on)],
        "of": _finishes(on)[_chosen(on)][0],
        "vintages": VINTAGES,
        "vintage": form.get("vintage", VINTAGES[0]),
        "name_typed": form.get("name", ""),
        "date": form.get("date", today().isoformat()),
        "lamp": form.get("lamp", ""),
        "card_y": form.get("card_y", "0.18"),
        "problems": [(_field_words(path), message) for path, message in problems],
        "found": found,
        "srgb_hex": _hex(found) if found else "",
    }
    return render_template("sample_mark.html", page=page)


def _field_words(path: str) -> str:
    words = {
        "name": _("Written on its back"),
        "date": _("Photographed on"),
        "lamp": _("Lit by"),
        "photo[0]": _("Photograph"),
        "photo[0].off_cut": _("Off-cut"),
        "photo[0].chart": _("Chart"),
        "photo[0].card": _("Grey card"),
        "photo[0].card_y": _("Grey card reflects"),
        "photo[0].vintage": _("Chart made"),
    }
    return words.get(path, path)


def _hex(found: Measurement) -> str:
    encoded = adapted_srgb(xyz_from_lab(found.lab_d65, D65_XYZ), D65_XYZ)
    return "#" + "".join(f"{round(255 * float(one)):02x}" for one in encoded)
