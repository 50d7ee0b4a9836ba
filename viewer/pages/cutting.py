"""How good a job's cutting plan is: what is bought, the least possible, and the proof as far as it is."""

from fractions import Fraction
from gettext import gettext as _
from gettext import ngettext

from flask import Blueprint, abort, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from meshes.cutting.plan import CuttingError, Plan, first_cutting
from viewer.answers.quantities import stock_for
from viewer.answers.set_out import set_outs_of
from viewer.cuttings_service import Cutting, TooManyError
from viewer.drawings.figures import figure
from viewer.job.choices import chosen_finish
from viewer.pages.opened import Opened, opened
from viewer.pages.quantities import Row, board_row
from viewer.services import services

blueprint = Blueprint("cutting_page", __name__)

LOOK_AGAIN_S = 1
"""While a proof is under way the page comes again by itself after this time."""


@blueprint.get("/jobs/<name>/cutting")
def cutting(name: str) -> Response:
    """The plan as far as it is proven; asking for it starts the proof."""
    on = opened(name)
    page = {
        **on.heading("sheets_page.sheets"),
        "address": url_for("cutting_page.change", name=name),
        "sheets": url_for("sheets_page.sheets", name=name),
        "problems": [],
        "rows": [],
        "state": "",
        "running": False,
    }
    try:
        known = services().cuttings.looked_at(_first(on))
    except CuttingError as error:
        page["problems"] = [message for _path, message in error.problems]
    except TooManyError:
        page["state"] = _("Other plans are being proven; look again in a moment.")
    else:
        page |= _found(known)
    response = make_response(render_template("cutting.html", page=page))
    if page["running"]:
        response.headers["Refresh"] = str(LOOK_AGAIN_S)
    return response


@blueprint.post("/jobs/<name>/cutting")
def change(name: str) -> Response:
    """Stop the proof, or go on with it."""
    cuttings = services().cuttings
    try:
        plan = _first(opened(name))
        if request.form.get("what") == "stop":
            cuttings.stop(cuttings.looked_at(plan))
        else:
            cuttings.order(plan)
    except CuttingError:
        abort(404)
    except TooManyError:
        abort(429)
    return redirect(url_for("cutting_page.cutting", name=name))


def _first(on: Opened) -> Plan:
    stock = stock_for(on.job, chosen_finish(on.job), services().catalogue)
    return first_cutting(set_outs_of(on.job), stock=stock, panels=on.job.panels)


def _found(known: Cutting) -> dict[str, object]:
    far = services().cuttings.progress(known)
    running = far["state"] in ("waiting", "running")
    return {
        "rows": _rows(known.plan),
        "state": _state(known, far),
        "running": running,
        "done": far["done"],
        "again": not running and not known.plan.proven and services().cuttings.limit_s > 0,
    }


def _rows(plan: Plan) -> list[Row]:
    """What is bought, and how far that may be over the least possible."""
    rows = []
    section = _size(*plan.stock.section_mm)
    for number, one in enumerate(plan.timber):
        size = _size(one.demand.width, one.demand.depth)
        bought = ", ".join(f"{count} × {figure(length)}" for length, count in one.crosscut.sections)
        rows.append(
            Row(
                what=_("Timber {section} mm, for slats {size} mm").format(section=section, size=size),
                amount=bought,
                unit="mm",
                note="" if number else _how_good(plan),
            )
        )
    if plan.sheets is not None:
        size = _size(*plan.panels.sheet_mm, plan.panels.thickness_mm)
        rows.append(board_row(size, plan.sheets.count, plan.sheets.proven, plan.sheets.bound))
    return rows


def _size(*sides: Fraction) -> str:
    return " × ".join(figure(side) for side in sides)


def _how_good(plan: Plan) -> str:
    """Of all the timber: slats of several widths come out of one section."""
    if plan.timber_proven:
        return _("the least possible")
    share = f"{100 * float(plan.timber_gap):.1f}"
    return _("at most {share} % over the least possible").format(share=share)


def _state(known: Cutting, far: dict[str, object]) -> str:
    if known.plan.proven:
        return _("Proven: nobody can cut these pieces from less.")
    if known.state == "waiting":
        return _("Waits for the proof of another plan.")
    if known.state == "running":
        seconds = round(float(str(far["left_s"])))
        return ngettext(
            "Looking for a plan that takes less, for at most {n} second more.",
            "Looking for a plan that takes less, for at most {n} seconds more.",
            seconds,
        ).format(n=seconds)
    if known.state == "stopped":
        return _("Stopped. The best plan so far stands; pages and sheets use it.")
    if known.state == "failed":
        return _("The proof broke off. The plan stands, and what it may be over the least is said below.")
    return _("Time is up. The best plan so far stands; pages and sheets use it.")
