"""Stages on a job's record after the signature: deposit noted, measured again, handed over, withdrawn.

Money is noted, never taken. A variation is an offer of the changed job that the client signs.
"""

import base64
from typing import Any

from flask import Blueprint, Response, abort, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from viewer import uploads
from viewer.clock import utc_now
from viewer.job.reading import Problem
from viewer.pages import offers
from viewer.pages.opened import opened
from viewer.pages.signing import LONGEST_NAME, PNG_URI
from viewer.pages.standing import present_facts, standing_of
from viewer.services import services
from viewer.signoff.chain import Stage
from viewer.signoff.sections import Concealed
from viewer.store.erasing import erase as erase_people
from viewer.store.jobs import moment

LONGEST_WORDS = 2000
STAGES_BY_HAND: dict[str, Stage] = {
    "deposit": "deposit",
    "remeasure": "remeasure",
    "handover": "handover",
    "withdrawn": "withdrawn",
}

blueprint = Blueprint("stages", __name__)


@blueprint.get("/jobs/<name>/record.json")
def record(name: str) -> Response:
    """The record of a job as one file that proves itself."""
    records = services().store.records
    if not records.entries(name):
        abort(404)
    response = Response(records.export(name), mimetype="application/json")
    response.headers["Content-Disposition"] = 'attachment; filename="record.json"'
    return response


@blueprint.post("/jobs/<name>/stages")
def add(name: str) -> AnyResponse | tuple[str, int]:
    """Add a stage to the record."""
    on, store = opened(name), services().store
    stage = STAGES_BY_HAND.get(request.form.get("stage", ""))
    now_standing = standing_of(name, on.job)
    problems: list[Problem] = []
    if stage is None:
        problems.append(("stage", "expected deposit, remeasure, handover or withdrawn"))
    if now_standing is None:
        problems.append(("stage", "nothing is signed yet; make an offer first"))
    words = request.form.get("words", "").strip()
    if len(words) > LONGEST_WORDS:
        problems.append(("words", f"expected at most {LONGEST_WORDS} characters"))
    noted: dict[str, Any] = {"words": words}
    hidden = Concealed()
    sections: dict[str, Any] = {"noted": noted}
    if stage == "deposit":
        noted["amount"] = _amount(problems)
    if now_standing is not None and stage in ("remeasure", "handover"):
        noted["as_built"] = [change.sentence for change in now_standing.within]
        sections["facts"] = [fact.as_json() for fact in present_facts(name, on.job)]
    if now_standing is not None and stage == "handover":
        if now_standing.outside:
            moved = "; ".join(change.sentence for change in now_standing.outside)
            problems.append(("stage", f"the client has yet to sign what changed: {moved}"))
        noted["snags"] = [line.strip() for line in request.form.get("snags", "").splitlines() if line.strip()]
        sections["client"] = _second_signature(hidden, problems)
    if now_standing is not None and stage == "withdrawn":
        if now_standing.handed_over:
            problems.append(("stage", "the wall is handed over; nothing is left to withdraw"))
        if not words:
            problems.append(("words", "expected who steps back, and why"))
    if problems or stage is None:
        return offers.offers(name, problems, request.form), 422
    store.records.append(
        name,
        stage=stage,
        at=moment(utc_now()),
        sections=sections,
        personal=hidden.values,
        # a withdrawal takes the place of the signature: nothing holds after it until the client signs again
        supersedes=now_standing.place if now_standing and stage == "withdrawn" else None,
    )
    return redirect(url_for("offers.offers", name=name))


@blueprint.post("/jobs/<name>/erase")
def erase(name: str) -> AnyResponse | tuple[str, int]:
    """Erase what the record knows of people, for good; only with the box ticked that says so."""
    store = services().store
    if not store.records.entries(name):
        abort(404)
    if request.form.get("for_good") != "yes":
        problem = ("for_good", "tick that it is for good; nothing brings the names back")
        return offers.offers(name, [problem], request.form), 422
    erase_people(store.engine, name)
    return redirect(url_for("offers.offers", name=name))


def _amount(problems: list[Problem]) -> str:
    amount = " ".join(request.form.get("amount", "").split())
    if not 1 <= len(amount) <= 40 or not any(sign.isdigit() for sign in amount):
        problems.append(("amount", "expected what was received, such as 500.00 EUR"))
    return amount


def _second_signature(hidden: Concealed, problems: list[Problem]) -> dict[str, Any]:
    name = " ".join(request.form.get("name", "").split())
    if not 1 <= len(name) <= LONGEST_NAME:
        problems.append(("name", f"expected the client's name, at most {LONGEST_NAME} characters"))
        return {}
    drawn = request.form.get("drawn", "")
    kept = None
    if drawn:
        try:
            png = uploads.signature(base64.b64decode(drawn.removeprefix(PNG_URI), validate=True))
            kept = hidden.hide(base64.b64encode(png).decode())
        except (uploads.UploadError, ValueError):
            problems.append(("drawn", "expected a signature drawn in the field"))
    return {"name": hidden.hide(name), "drawn": kept}
