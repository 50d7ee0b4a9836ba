"""Cutting plans on order: proven in the background, or as near as the time allows.

POST /api/cuttings              the body is the job file itself; 202 with the plan's state
GET /api/cuttings/<id>          {"id", "state", "part", "parts", "done", "left_s", "proven", "gap_share",
                                "href"}
GET /api/cuttings/<id>/plan     {"stock", "sheets"} as in ``slatwright take-off``: the best plan so far
DELETE /api/cuttings/<id>       stops looking; the best plan so far stays

``state`` : waiting, running, done, stopped or failed; ``done`` : 0 to 1; ``left_s`` : seconds at most;
``gap_share`` : how much of the timber may be more than the least possible, as a share of 1.
"""

from typing import Any

from flask import Blueprint, Response, jsonify, url_for

from meshes.cutting.export import sheets_json, stock_json
from meshes.cutting.plan import CuttingError, first_cutting
from viewer.answers.quantities import stock_for
from viewer.answers.set_out import set_outs_of
from viewer.api.body import posted_job
from viewer.api.errors import RequestProblem
from viewer.cuttings_service import Cutting, TooManyError
from viewer.job.choices import chosen_finish
from viewer.services import services

blueprint = Blueprint("cuttings", __name__, url_prefix="/api/cuttings")


def _state(cutting: Cutting) -> dict[str, Any]:
    return {
        "id": cutting.id,
        **services().cuttings.progress(cutting),
        "proven": cutting.plan.proven,
        "gap_share": stock_json(cutting.plan)["gap_share"],
        "href": url_for("cuttings.state", cutting_id=cutting.id),
    }


def _found(cutting_id: str) -> Cutting:
    cutting = services().cuttings.find(cutting_id)
    if cutting is None:
        raise RequestProblem(404)
    return cutting


@blueprint.post("")
def order() -> tuple[Response, int, dict[str, str]]:
    """Order the plan of a job; 202 and where its state stands."""
    job = posted_job()
    stock = stock_for(job, chosen_finish(job), services().catalogue)
    try:
        plan = first_cutting(set_outs_of(job), stock=stock, panels=job.panels)
        cutting = services().cuttings.order(plan)
    except CuttingError as error:
        raise RequestProblem(422, error.problems) from None
    except TooManyError:
        raise RequestProblem(429) from None
    state = _state(cutting)
    return jsonify(state), 202, {"Location": state["href"]}


@blueprint.get("/<cutting_id>")
def state(cutting_id: str) -> Response:
    """How far a plan is."""
    return jsonify(_state(_found(cutting_id)))


@blueprint.delete("/<cutting_id>")
def stop(cutting_id: str) -> Response:
    """Stop looking for a better plan."""
    cutting = _found(cutting_id)
    services().cuttings.stop(cutting)
    return jsonify(_state(cutting))


@blueprint.get("/<cutting_id>/plan")
def plan(cutting_id: str) -> Response:
    """The best plan so far, with its bound, proven or with the gap that is left."""
    found = _found(cutting_id).plan
    return jsonify({"stock": stock_json(found), "sheets": sheets_json(found)})
