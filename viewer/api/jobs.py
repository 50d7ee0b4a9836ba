"""Questions about a job that is the body of the request; 422 with every problem for a bad one."""

from flask import Blueprint, Response, jsonify

from viewer.answers.set_out import set_out_answer
from viewer.api.body import posted_job, posted_result
from viewer.job.canonical import digest

blueprint = Blueprint("jobs", __name__, url_prefix="/api")


@blueprint.post("/check")
def check() -> Response:
    """``{"ok": true, "version": "<sha-256 of the canonical job>"}``, or 422."""
    return jsonify({"ok": True, "version": digest(posted_result().document)})


@blueprint.post("/set-out")
def set_out() -> Response:
    """Where every slat and panel goes, as ``slatwright set-out`` prints it."""
    return jsonify(set_out_answer(posted_job()))
