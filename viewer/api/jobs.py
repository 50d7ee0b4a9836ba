"""Questions about a job that is the body of the request; 422 with every problem for a bad one.

``?finish=NAME`` asks take-off and appearance about a candidate other than the chosen finish.
"""

from typing import TYPE_CHECKING

from flask import Blueprint, Response, jsonify, request

from viewer.answers.appearance import appearance_answer
from viewer.answers.glb import glb_answer
from viewer.answers.set_out import set_out_answer
from viewer.answers.take_off import take_off_answer
from viewer.api.body import posted_job, posted_result
from viewer.api.errors import RequestProblem
from viewer.calling import called
from viewer.job.canonical import digest
from viewer.job.choices import ChoiceError, finish_named
from viewer.services import services

if TYPE_CHECKING:
    from finishes.choice import Finish
    from viewer.job.model import Job

blueprint = Blueprint("jobs", __name__, url_prefix="/api")


def _asked_finish(job: "Job") -> "tuple[Finish, str]":
    name = request.args.get("finish")
    try:
        finish = finish_named(job, name)
    except ChoiceError as error:
        raise RequestProblem(422, error.problems) from None
    return finish, name or called(job, finish, services().catalogue)


@blueprint.post("/check")
def check() -> Response:
    """``{"ok": true, "version": "<sha-256 of the canonical job>"}``, or 422."""
    return jsonify({"ok": True, "version": digest(posted_result().document)})


@blueprint.post("/set-out")
def set_out() -> Response:
    """Where every slat and panel goes, as ``slatwright set-out`` prints it."""
    return jsonify(set_out_answer(posted_job()))


@blueprint.post("/take-off")
def take_off() -> Response:
    """What the wall needs, as ``slatwright take-off`` prints it."""
    job = posted_job()
    known = services()
    return jsonify(
        take_off_answer(job, *_asked_finish(job), known.catalogue, known.prices, known.cuttings.best)
    )


@blueprint.post("/appearance")
def appearance() -> Response:
    """Spectra and colours, as ``slatwright appearance`` prints them."""
    job = posted_job()
    return jsonify(appearance_answer(job, *_asked_finish(job), services().catalogue))


@blueprint.post("/glb")
def glb() -> Response:
    """The wall and its room as GLB, as ``slatwright glb`` writes it."""
    return Response(glb_answer(posted_job(), services().catalogue), mimetype="model/gltf-binary")
