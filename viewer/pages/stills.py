"""The page of stills: what is to be seen, how far each picture is, and the finished files."""

import re
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from viewer.board import board_problems
from viewer.frame import THINGS, Frame
from viewer.pages.opened import Opened, chosen, chosen_view, opened, view_choice
from viewer.pages.ordering import order_for, orders
from viewer.pages.time_left import time_left
from viewer.pages.words import view_name
from viewer.services import services
from viewer.stills_service import Still, TooManyError
from viewer.stills_worker import FILE, START, StillOrder
from viewer.things import things_in

ENDINGS = {".jpg": "image/jpeg", ".png": "image/png"}
OPEN_STATES = ("waiting", "running")

blueprint = Blueprint("stills_page", __name__, url_prefix="/jobs/<name>/stills")


def step_words() -> dict[str, str]:
    """What is being done, step by step."""
    return {
        "": _("waiting its turn"),
        START: _("getting the wall ready"),
        "raster": _("looking what each pixel sees"),
        "light": _("working out the light"),
        "layers": _("putting light and wood together"),
        FILE: _("writing the file"),
    }


def with_words() -> dict[str, str]:
    """What else a picture of one finish can show."""
    return {
        "felt": _("as the evening feels, with a white card"),
        "marked": _("joints, shadow gaps and plates marked"),
        "furniture": _("what hides the wall's hidden zones"),
        "person": _("a person for scale"),
        "card": _("a white card"),
        "steps": _("the small steps between slats that raking light shows"),
        "doors": _("doors that fold back before the slats, open"),
    }


def state_words() -> dict[str, str]:
    """How an order ended."""
    return {"done": _("done"), "failed": _("could not be made"), "cancelled": _("stopped")}


@blueprint.get("")
def stills(name: str) -> str:
    """What can be ordered and what was."""
    return _page(opened(name), ())


@blueprint.get("/orders")
def state(name: str) -> str:
    """The orders and how far they are, as a piece of the page."""
    on = opened(name)
    return render_template("_orders.html", orders=[_order_view(on, one) for one in orders().of(name)])


@blueprint.post("")
def order(name: str) -> AnyResponse:
    """Order a still; 422 names what is wrong with its size."""
    on = opened(name)
    sides, problems = {}, []
    for side in ("width", "height"):
        given = request.form.get(side, "").strip()
        sides[side] = int(given) if given.isdecimal() and len(given) < 7 else 0
        if not sides[side]:
            problems.append((side, _("expected a whole number of pixels")))
    ticked = set(request.form.getlist("with"))
    frame = Frame(
        view=chosen_view(request.form, walls=on.walls),
        width=sides["width"],
        height=sides["height"],
        marked="marked" in ticked,
    )
    problems = problems or frame.problems()
    board = request.form.get("what") == "board"
    if board and not problems:
        problems = board_problems(on.job, frame)
    if problems:
        return Response(_page(on, tuple(problems)), status=422, mimetype="text/html")
    number = chosen("finish", len(on.finishes), request.form)
    label, finish = on.finishes[number]
    lighting = on.lightings[chosen("lighting", len(on.lightings), request.form)]
    ending = request.form.get("ending", ".jpg")
    wanted = order_for(
        on,
        frame,
        finish.model_copy(update={"name": label}),
        lighting,
        ending=ending if ending in ENDINGS else ".jpg",
        board=board,
        things=tuple(one for one in THINGS if one in ticked and not board),
        felt="felt" in ticked and not board,
    )
    try:
        orders().note(name, services().stills.order(wanted).id)
    except TooManyError:
        words = _("too many pictures wait already; try again when some are done")
        return Response(_page(on, (("order", words),)), status=503, mimetype="text/html")
    return redirect(url_for("stills_page.stills", name=name))


@blueprint.post("/<still_id>/stop")
def stop(name: str, still_id: str) -> AnyResponse:
    """Stop making a picture."""
    services().stills.cancel(_found(name, still_id))
    return redirect(url_for("stills_page.stills", name=name))


@blueprint.get("/<still_id>/picture")
def picture(name: str, still_id: str) -> Response:
    """The finished file, to keep."""
    still = _found(name, still_id)
    if still.outcome is None or still.outcome.data is None:
        abort(404)
    response = Response(still.outcome.data, mimetype=ENDINGS[still.order.ending])
    if "show" not in request.args:
        response.headers["Content-Disposition"] = f'attachment; filename="{_file_name(still.order)}"'
    return response


def _found(name: str, still_id: str) -> Still:
    still = next((one for one in orders().of(name) if one.id == still_id), None)
    if still is None:
        abort(404)
    return still


def _file_name(order: StillOrder) -> str:
    """``reading-room-honey-on-pine-evening-front.jpg``."""
    document = order.document
    what = _("board") if order.board else f"{document['finish'].get('name', '')} {order.lighting}"
    words = f"{document['name']} {what} {order.frame.view}"
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")[:120] + order.ending


def _page(on: Opened, problems: tuple[tuple[str, str], ...]) -> str:
    form = request.form
    listed = [_order_view(on, one) for one in orders().of(on.name)]
    page = {
        **on.heading("stills_page.stills"),
        "address": url_for("stills_page.stills", name=on.name),
        "finishes": [label for label, _finish in on.finishes],
        "finish": chosen("finish", len(on.finishes), form),
        "lightings": [one.name for one in on.lightings],
        "lighting": chosen("lighting", len(on.lightings), form),
        "views": view_choice(chosen_view(form, walls=on.walls), on.walls),
        "width": form.get("width", "1600"),
        "height": form.get("height", "900"),
        "ending": form.get("ending", ".jpg"),
        "endings": [(".jpg", _("JPEG, small")), (".png", _("PNG, exact"))],
        "mesh": on.address("mesh"),
        "with": [
            (key, words, key in form.getlist("with"))
            for key, words in with_words().items()
            if key not in THINGS or key in things_in(on.job)
        ],
        "problems": problems,
        "orders": listed,
        "waiting": any(one["open"] for one in listed),
    }
    return render_template("stills.html", page=page)


def _order_view(on: Opened, still: Still) -> dict[str, Any]:
    progress = services().stills.progress(still)
    order, outcome = still.order, still.outcome
    is_open = progress["state"] in OPEN_STATES
    what = (
        _("All side by side")
        if order.board
        else f"{order.document['finish'].get('name', '')}, {order.lighting}"
    )
    faults = [outcome.fault] if outcome and outcome.fault else []
    faults += [f"{path}: {message}" for path, message in outcome.problems] if outcome else []
    address = url_for("stills_page.picture", name=on.name, still_id=still.id)
    return {
        "id": still.id,
        "words": _("{what}, {view}, {width} × {height}").format(
            what=what, view=view_name(order.frame.view), width=order.frame.width, height=order.frame.height
        ),
        "open": is_open,
        "done": progress["done"],
        "step": step_words()[progress["step"] if progress["step"] in step_words() else ""],
        "left": _("about {time} left").format(time=time_left(progress["left_s"])),
        "state": state_words().get(progress["state"], ""),
        "faults": faults,
        "picture": address if progress["state"] == "done" else "",
        "show": f"{address}?show",
        "file": _file_name(order),
        "stop": url_for("stills_page.stop", name=on.name, still_id=still.id),
    }
