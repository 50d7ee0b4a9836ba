"""Server-made pictures on order.

POST /api/stills
    {"job": {…}, "finish": "B", "lighting": "evening", "view": "front" | {camera},
     "width": 1600, "height": 900, "format": "jpg" | "png", "board": false, "plain": false,
     "marked": false, "things": ["furniture", "person", "card", "steps", "doors"], "evening_feel": false}
    ``job`` is required; the rest has the defaults of ``slatwright still``. 202 with the still's state.
GET /api/stills/<id>            {"id", "state", "step", "done", "left_s", "href", "picture"}
DELETE /api/stills/<id>         cancels it; the state follows
GET /api/stills/<id>/picture    the image once ``state`` is done; 409 before

``state`` : waiting, running, done, failed or cancelled; ``done`` : 0 to 1; ``left_s`` : seconds, about.
"""

import json
from typing import Any

from flask import Blueprint, Response, jsonify, request, url_for

from viewer.api.body import posted_object
from viewer.api.errors import RequestProblem
from viewer.board import board_problems
from viewer.frame import THINGS, Frame
from viewer.job.accepted import nearest
from viewer.job.check import JobError
from viewer.job.choices import ChoiceError, finish_named, lighting_named
from viewer.services import services
from viewer.stills_service import Still, TooManyError
from viewer.stills_worker import StillOrder

blueprint = Blueprint("stills", __name__, url_prefix="/api/stills")

MEDIA_TYPES = {".png": "image/png", ".jpg": "image/jpeg"}
_DEFAULTS: dict[str, Any] = {
    "finish": None,
    "lighting": None,
    "view": "front",
    "width": 1600,
    "height": 900,
    "format": "jpg",
    "board": False,
    "plain": False,
    "marked": False,
    "things": [],
    "evening_feel": False,
}
_SWITCHES = ("board", "plain", "marked", "evening_feel")


def _frame(given: dict[str, Any], problems: list[tuple[str, str]]) -> Frame:
    sides = {}
    for name in ("width", "height"):
        side = given[name]
        if isinstance(side, bool) or not isinstance(side, int):
            problems.append((name, "expected a whole number of pixels"))
            side = 16
        sides[name] = side
    view = given["view"]
    if isinstance(view, dict):
        view = json.dumps(view)
    elif not isinstance(view, str):
        problems.append(
            ("view", "expected front, seated, left, right, close, wall-2 …, or a camera as an object")
        )
        view = "front"
    frame = Frame(
        view=view,
        width=sides["width"],
        height=sides["height"],
        plain=given["plain"] is True,
        marked=given["marked"] is True,
    )
    problems += frame.problems()
    return frame


def _order(body: dict[str, Any]) -> StillOrder:
    """The order in a request's body, or every problem of it at once."""
    problems: list[tuple[str, str]] = []
    for key in body:
        if key not in _DEFAULTS and key != "job":
            close = nearest(key, ["job", *_DEFAULTS])
            problems.append(
                (key, f"unknown key; the nearest known one is {close}" if close else "unknown key")
            )
    given = {**_DEFAULTS, **body}
    checked = services().check(body.get("job"))
    problems += [(path if path == "job" else f"job.{path}", text) for path, text in checked.problems]
    frame = _frame(given, problems)
    if given["format"] not in ("jpg", "png"):
        problems.append(("format", "expected jpg or png"))
    problems += [(name, "expected true or false") for name in _SWITCHES if not isinstance(given[name], bool)]
    things = _things(given["things"], problems)
    problems += [
        ("evening_feel", f"is of one picture with figure and gloss; leave out {name}")
        for name in ("board", "plain")
        if given["evening_feel"] is True and given[name] is True
    ]
    for name, find in (("finish", finish_named), ("lighting", lighting_named)):
        if given[name] is not None and not isinstance(given[name], str):
            problems.append((name, f"expected the name of a {name} of the job"))
        elif checked.job is not None:
            try:
                find(checked.job, given[name])
            except ChoiceError as error:
                problems += error.problems
    if given["board"] is True and checked.job is not None:
        problems += board_problems(checked.job, frame)
    if problems:
        raise JobError(problems)
    return StillOrder(
        document=checked.document,
        frame=frame,
        ending=f".{given['format']}",
        finish=given["finish"],
        lighting=given["lighting"],
        board=given["board"],
        things=things,
        felt=given["evening_feel"],
    )


def _things(given: Any, problems: list[tuple[str, str]]) -> tuple[str, ...]:
    """Names of things, each once, in the order of ``THINGS``."""
    if not isinstance(given, list):
        problems.append(("things", f"expected a list of {', '.join(THINGS)}"))
        return ()
    for number, one in enumerate(given):
        if one not in THINGS:
            problems.append((f"things[{number}]", f"{one!r} is none; expected {', '.join(THINGS)}"))
    return tuple(one for one in THINGS if one in given)


def _state(still: Still) -> dict[str, Any]:
    href = url_for("stills.state", still_id=still.id)
    done = still.state == "done"
    outcome = still.outcome
    return {
        "id": still.id,
        **services().stills.progress(still),
        "href": href,
        "picture": f"{href}/picture" if done else None,
        "errors": [{"path": path, "message": text} for path, text in outcome.problems] if outcome else [],
        "fault": outcome.fault if outcome else "",
    }


def _found(still_id: str) -> Still:
    still = services().stills.find(still_id)
    if still is None:
        raise RequestProblem(404)
    return still


@blueprint.post("")
def order() -> tuple[Response, int, dict[str, str]]:
    """Order a picture; 202 and where its state stands."""
    try:
        still = services().stills.order(_order(posted_object()))
    except TooManyError:
        raise RequestProblem(429) from None
    state = _state(still)
    return jsonify(state), 202, {"Location": state["href"]}


@blueprint.get("/<still_id>")
def state(still_id: str) -> Response:
    """How far a picture is."""
    return jsonify(_state(_found(still_id)))


@blueprint.delete("/<still_id>")
def cancel(still_id: str) -> Response:
    """Stop making a picture."""
    still = _found(still_id)
    services().stills.cancel(still)
    return jsonify(_state(still))


@blueprint.get("/<still_id>/picture")
def picture(still_id: str) -> Response:
    """The finished image."""
    still = _found(still_id)
    if still.outcome is None or still.outcome.data is None:
        raise RequestProblem(409, (("state", still.state),))
    response = Response(still.outcome.data, mimetype=MEDIA_TYPES[still.order.ending])
    response.set_etag(still.key)
    response.headers["Cache-Control"] = "private, max-age=3600"
    response.make_conditional(request)
    return response
