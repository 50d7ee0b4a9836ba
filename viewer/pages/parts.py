"""The parts of a job's pages: mesh, figure, light, bands, stills. Each has its version in its address."""

from flask import Blueprint, Response, abort, request

from finishes.lamps import lamp
from viewer.answers.glb import glb_answer
from viewer.figure import figure_of
from viewer.frame import Frame
from viewer.pages.bands import band_png
from viewer.pages.job_view import finish_words
from viewer.pages.opened import Opened, chosen, chosen_view, first_entries, kept, opened, wanted_things
from viewer.pages.orbit_data import ASPECT
from viewer.pages.orbit_figure import figure_bytes
from viewer.pages.orbit_light import light_bytes
from viewer.pages.ordering import made_at_once
from viewer.pages.studios import studio_of
from viewer.pages.tried_finish import asked, is_asked
from viewer.picture import Studio
from viewer.services import services

STILL_WIDTHS = ("1200", "480")
"""Pixels; the first where none is asked for."""

blueprint = Blueprint("job_parts", __name__, url_prefix="/jobs/<name>")


@blueprint.get("/wall.glb")
def mesh(name: str) -> Response:
    """The wall and its room as GLB, the candidates as variants."""
    return kept(glb_answer(opened(name).job, services().catalogue), "model/gltf-binary")


@blueprint.get("/figure.bin")
def figure(name: str) -> Response:
    """The wall, the things that ``with`` asks for, and the stems of every candidate."""
    on = opened(name)
    figures = [figure_of(one, services().catalogue) for _label, one in on.finishes]
    return kept(figure_bytes(_furnished(on).scene, figures), "application/octet-stream")


@blueprint.get("/light/<int:number>.bin")
def light(name: str, number: int) -> Response:
    """The light of one lighting, for every finish, about the things that ``with`` asks for."""
    on = opened(name)
    if number >= len(on.lightings):
        abort(404)
    data = light_bytes(_furnished(on), on.lightings[number])
    return kept(data, "application/octet-stream")


def _furnished(on: Opened) -> Studio:
    return studio_of(on.version, on.job, wanted_things())


@blueprint.get("/bands/<int:number>.png")
def band(name: str, number: int) -> Response:
    """The band of one candidate, in even daylight."""
    on = opened(name)
    if number >= len(on.finishes):
        abort(404)
    finish = on.finishes[number][1]
    drawn = figure_of(finish, services().catalogue)
    return kept(band_png(on.studio.appearance(finish), drawn, lamp("D65")), "image/png")


@blueprint.get("/still")
def still(name: str) -> Response:
    """A server-made picture of one finish under one lighting."""
    on = opened(name)
    label, finish = on.finishes[chosen("finish", len(on.finishes))]
    if is_asked():
        finish, _problems = asked(finish)
        label = finish.name or finish_words(finish, first_entries())
    lighting = on.lightings[chosen("lighting", len(on.lightings))]
    wanted = request.args.get("width", STILL_WIDTHS[0])
    width = int(wanted if wanted in STILL_WIDTHS else STILL_WIDTHS[0])
    frame = Frame(view=chosen_view(walls=on.walls), width=width, height=round(width / ASPECT))
    made = made_at_once(on, frame, finish.model_copy(update={"name": label}), lighting, wanted_things())
    if made is None:
        abort(503)
    return kept(made, "image/jpeg")
