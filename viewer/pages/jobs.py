"""The job pages. A view gathers what the page shows and renders it."""

from dataclasses import dataclass
from threading import Lock
from typing import Any, cast

from flask import Blueprint, Flask, Response, abort, current_app, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from finishes.adaptation import D65_XYZ
from finishes.choice import Finish
from finishes.lamps import lamp
from meshes.light.lamps import Lighting
from meshes.stills.camera import VIEWS
from viewer.answers.glb import glb_answer
from viewer.answers.take_off import take_off_answer
from viewer.catalogue import KINDS
from viewer.figure import figure_of
from viewer.job.canonical import digest
from viewer.job.choices import candidates, finish_label, lightings
from viewer.job.model import Job
from viewer.pages import words
from viewer.pages.bands import band_png
from viewer.pages.job_view import drawings, finish_view, rod_marks, script_json, set_out_rows
from viewer.pages.orbit_data import ASPECT, Addresses, orbit_data
from viewer.pages.orbit_figure import figure_bytes
from viewer.pages.orbit_light import light_bytes
from viewer.pages.quantities import quantity_rows
from viewer.pages.studios import Studios
from viewer.picture import Frame, Studio
from viewer.services import services
from viewer.still_file import image_bytes, still_image

KEY = "slatwright-studios"
STILL_WIDTH = 1200
A_YEAR_S = 31_536_000

blueprint = Blueprint("job_pages", __name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A job as a request works with it."""

    name: str
    version: str
    job: Job
    finishes: tuple[tuple[str, Finish], ...]
    lightings: tuple[Lighting, ...]
    studio: Studio
    lock: Lock

    def address(self, endpoint: str, **values: Any) -> str:
        """Address of a part of this version; it never changes, so a browser may keep it."""
        return url_for(f"job_pages.{endpoint}", name=self.name, v=self.version[:16], **values)


def init_app(app: Flask) -> None:
    """Put the job pages and their studios into an application."""
    app.extensions[KEY] = None
    app.register_blueprint(blueprint)


def opened(name: str) -> Opened:
    """The job of that name; 404 for one that is not there."""
    found = services().demo if name == "demo" else None
    if found is None or found.job is None:
        abort(404)
    if current_app.extensions[KEY] is None:
        current_app.extensions[KEY] = Studios(services().catalogue)
    version = digest(found.document)
    studio, lock = cast(Studios, current_app.extensions[KEY]).of(version, found.job)
    named = tuple((finish_label(one, number), one) for number, one in enumerate(candidates(found.job)))
    return Opened(
        name=name,
        version=version,
        job=found.job,
        finishes=named,
        lightings=lightings(found.job),
        studio=studio,
        lock=lock,
    )


def kept(data: bytes, mimetype: str) -> Response:
    """A part of one version; asked for by its version it may be kept for good."""
    response = Response(data, mimetype=mimetype)
    if "v" in request.args:
        response.headers["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return response


def chosen(argument: str, count: int) -> int:
    """A place in a list from the query; the first where it says nothing usable."""
    given = request.args.get(argument, "0")
    return int(given) if given.isdecimal() and int(given) < count else 0


def chosen_view() -> str:
    given = request.args.get("view", "front")
    return given if given in VIEWS else "front"


@blueprint.get("/")
def start() -> AnyResponse:
    """The built-in job."""
    return redirect(url_for("job_pages.job", name="demo"))


@blueprint.get("/jobs/<name>/")
def job(name: str) -> str:
    """The job page."""
    on = opened(name)
    catalogue = services().catalogue
    finish, lighting = chosen("finish", len(on.finishes)), chosen("lighting", len(on.lightings))
    view = chosen_view()
    set_out = on.studio.scene.set_outs[0]
    names = {kind: catalogue.default(kind) for kind in KINDS}
    state = on.studio.appearance(on.finishes[finish][1]).state
    addresses = Addresses(
        mesh=on.address("mesh"),
        figure=on.address("figure"),
        still=on.address("still"),
        light=[on.address("light", number=number) for number in range(len(on.lightings))],
    )
    page = {
        "name": on.job.name,
        "revised": on.job.revised,
        "address": url_for("job_pages.job", name=name),
        "trail": [],
        "still": {
            "src": on.address("still", finish=finish, lighting=lighting, view=view),
            "words": words.foot(on.finishes[finish][0], on.lightings[lighting].name, state),
        },
        "views": [
            {"key": key, "name": title, "checked": key == view} for key, title in words.view_names().items()
        ],
        "lightings": [
            {"key": str(number), "name": one.name, "checked": number == lighting}
            for number, one in enumerate(on.lightings)
        ],
        "finishes": [
            finish_view(
                str(number),
                label,
                one,
                on.studio.appearance(one),
                names,
                band=on.address("band", number=number),
                checked=number == finish,
                rows=quantity_rows(take_off_answer(on.job, one, label, catalogue)),
            )
            for number, (label, one) in enumerate(on.finishes)
        ],
        "set_out": set_out_rows(set_out),
        "warnings": set_out.warnings,
        "marks": rod_marks(set_out),
        "rod_length_mm": float(set_out.wall_width if set_out.run == "upright" else set_out.wall_height),
        "orbit": script_json(
            orbit_data(
                studio=on.studio,
                lightings=on.lightings,
                candidates=on.finishes,
                addresses=addresses,
                words=words.orbit_words(),
            )
        ),
        **drawings(set_out, on.job.zones),
    }
    return render_template("job.html", page=page)


@blueprint.get("/jobs/<name>/wall.glb")
def mesh(name: str) -> Response:
    """The wall and its room as GLB, the candidates as variants."""
    return kept(glb_answer(opened(name).job, services().catalogue), "model/gltf-binary")


@blueprint.get("/jobs/<name>/figure.bin")
def figure(name: str) -> Response:
    """The stems of every candidate."""
    on = opened(name)
    catalogue = services().catalogue
    figures = [figure_of(one, catalogue) for _label, one in on.finishes]
    return kept(figure_bytes(on.studio.scene, figures), "application/octet-stream")


@blueprint.get("/jobs/<name>/light/<int:number>.bin")
def light(name: str, number: int) -> Response:
    """The light of one lighting, for every finish."""
    on = opened(name)
    if number >= len(on.lightings):
        abort(404)
    with on.lock:
        data = light_bytes(on.studio, on.lightings[number])
    return kept(data, "application/octet-stream")


@blueprint.get("/jobs/<name>/bands/<int:number>.png")
def band(name: str, number: int) -> Response:
    """The band of one candidate, in even daylight."""
    on = opened(name)
    if number >= len(on.finishes):
        abort(404)
    finish = on.finishes[number][1]
    look = on.studio.appearance(finish)
    drawn = figure_of(finish, services().catalogue)
    return kept(band_png(look, drawn, lamp("D65").weights, D65_XYZ), "image/png")


@blueprint.get("/jobs/<name>/still")
def still(name: str) -> Response:
    """A server-made picture of one finish under one lighting."""
    on = opened(name)
    label, finish = on.finishes[chosen("finish", len(on.finishes))]
    lighting = on.lightings[chosen("lighting", len(on.lightings))]
    frame = Frame(view=chosen_view(), width=STILL_WIDTH, height=round(STILL_WIDTH / ASPECT))
    with on.lock:
        image, line = still_image(on.studio, frame, lighting, finish, label=label)
    return kept(image_bytes(image, ".jpg", line.words()), "image/jpeg")
