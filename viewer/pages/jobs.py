"""The job pages. A view gathers what the page shows and renders it."""

from functools import lru_cache
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from finishes.adaptation import D65_XYZ
from finishes.appearance import Appearance, appearance
from finishes.choice import Finish
from finishes.lamps import lamp
from meshes.solids.glb import glb_bytes
from meshes.solids.scene import build
from viewer.answers.set_out import set_outs_of
from viewer.catalogue import KINDS
from viewer.job.model import Job
from viewer.pages import words
from viewer.pages.bands import band_png
from viewer.pages.job_view import drawings, finish_view, rod_marks, script_json, set_out_rows
from viewer.pages.orbit_data import colours, orbit_data
from viewer.services import services

blueprint = Blueprint("job_pages", __name__)


@blueprint.get("/")
def start() -> AnyResponse:
    """The built-in job."""
    return redirect(url_for("job_pages.job", name="demo"))


def named_job(name: str) -> Job:
    """The checked job of that name; 404 for one that is not there."""
    found = services().demo.job if name == "demo" else None
    if found is None:
        abort(404)
    return found


def finishes_of(job: Job) -> tuple[Finish, ...]:
    """The candidates, or the chosen finish alone."""
    return job.finishes or (job.finish,)


def seen(finish: Finish) -> Appearance:
    """The appearance of a finish in this catalogue."""
    return _appearance(services().catalogue, finish)


@lru_cache(maxsize=64)
def _appearance(catalogue: Any, finish: Finish) -> Appearance:
    return appearance(finish, catalogue)


def _chosen(argument: str, count: int) -> int:
    given = request.args.get(argument, "0")
    return int(given) if given.isdecimal() and int(given) < count else 0


@blueprint.get("/jobs/<name>/")
def job(name: str) -> str:
    """The job page."""
    job = named_job(name)
    (set_out, *_rest) = set_outs_of(job)
    finishes = finishes_of(job)
    finish, lighting = _chosen("finish", len(finishes)), _chosen("lighting", len(job.lightings))
    view = request.args.get("view", "front")
    names = {kind: services().catalogue.default(kind) for kind in KINDS}
    still = url_for("job_pages.still", name=name)
    orbit = orbit_data(
        set_out=set_out,
        room=job.room,
        lightings=job.lightings,
        candidates=[(one.name, seen(one)) for one in finishes],
        catalogue=services().catalogue,
        mesh=url_for("job_pages.mesh", name=name),
        still=still,
        words=words.orbit_words(),
    )
    page = {
        "name": job.name,
        "revised": job.revised,
        "address": url_for("job_pages.job", name=name),
        "trail": [],
        "still": {
            "src": f"{still}?finish={finish}&lighting={lighting}&view={view}",
            "words": words.foot(
                finishes[finish].name, job.lightings[lighting].name, seen(finishes[finish]).state
            ),
        },
        "views": [
            {"key": key, "name": title, "checked": key == view} for key, title in words.view_names().items()
        ],
        "lightings": [
            {"key": str(number), "name": one.name, "checked": number == lighting}
            for number, one in enumerate(job.lightings)
        ],
        "finishes": [
            finish_view(str(number), one, seen(one), names, checked=number == finish, rows=[])
            for number, one in enumerate(finishes)
        ],
        "set_out": set_out_rows(set_out),
        "warnings": set_out.warnings,
        "marks": rod_marks(set_out),
        "rod_length_mm": float(set_out.wall_width if set_out.run == "upright" else set_out.wall_height),
        "orbit": script_json(orbit),
        **drawings(set_out, job.zones),
    }
    return render_template("job.html", page=page)


@blueprint.get("/jobs/<name>/wall.glb")
def mesh(name: str) -> Response:
    """The wall and its room as GLB, in the colours of the chosen finish under the first lighting."""
    job = named_job(name)
    first = colours(seen(finishes_of(job)[0]), job.room, job.lightings[0], services().catalogue)
    data = glb_bytes(
        build(set_outs_of(job), job.room), {word: zones["early"] for word, zones in first.items()}
    )
    return Response(data, mimetype="model/gltf-binary")


@blueprint.get("/jobs/<name>/bands/<int:number>.png")
def band(name: str, number: int) -> Response:
    """The band of one candidate, in even daylight."""
    finishes = finishes_of(named_job(name))
    if number >= len(finishes):
        abort(404)
    daylight = lamp("D65").weights
    return Response(band_png(seen(finishes[number]), daylight, D65_XYZ, seed=number), mimetype="image/png")


@blueprint.get("/jobs/<name>/still")
def still(name: str) -> Response:
    """A server-made picture."""
    abort(404)
