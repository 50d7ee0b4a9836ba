"""The set-out page: ways to set out the run, to scale, with their reasons; a trial that shows itself at once.

Values in the address are tried without being kept. What is worth comparing can be pinned: it stays on the
page, set out anew with the job as it is now, until it is let go.
"""

from collections.abc import Mapping
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from meshes.layout.placed import SetOut
from viewer.answers.set_out import set_outs_of
from viewer.drawings.section import section
from viewer.drawings.title_block import TitleBlock
from viewer.job.canonical import digest
from viewer.job.check import CheckResult
from viewer.pages.fields import fields_of
from viewer.pages.job_view import script_json
from viewer.pages.opened import Opened, opened, read_job, trail, view_choice
from viewer.pages.places import number_below
from viewer.pages.saving import revision_given, save
from viewer.pages.tried_set_out import trial_fields, trial_of, tried
from viewer.pages.ways import (
    MOST_PINNED,
    PINNED,
    moved_numbers,
    pinned,
    pinned_ways,
    wall_drawings,
    wall_ways,
)
from viewer.pages.words import foot
from viewer.services import services
from viewer.store.jobs import SavedMeanwhileError

SECTIONS_MM = {"wide": 150, "short": 90}

blueprint = Blueprint("set_out_page", __name__)


@blueprint.get("/jobs/<name>/set-out")
def choices(name: str) -> str:
    """The choices; values in the query are tried without being kept."""
    found, _revision = read_job(name)
    return _page(name, found, trial_of(request.args))


@blueprint.get("/jobs/<name>/set-out/view.json")
def view(name: str) -> Response:
    """What the turning view of a tried set-out needs."""
    return Response(script_json(opened(name).orbit()), mimetype="application/json")


@blueprint.post("/jobs/<name>/set-out")
def keep(name: str) -> AnyResponse:
    """Keep what was tried; 422 with every problem at its field. ``do``: pin it, or let a pinned one go."""
    found, revision = read_job(name)
    typed: dict[str, Any] = dict(trial_of(request.form))
    action, _space, place = request.form.get("do", "").partition(" ")
    now = tried(found, typed)
    if now.job is None and action != "let-go":
        return Response(_page(name, found, typed), status=422, mimetype="text/html")
    document = dict(now.document)
    if action in ("pin", "let-go"):
        document = {**found.document, PINNED: _pinned(found, action, place, typed)}
        if not document[PINNED]:
            del document[PINNED]
    try:
        kept_as = save(name, document, revision_given(request.form.get("revision", ""), revision))
    except SavedMeanwhileError:
        # what is tried stays in the address; the page shows it over the state that was saved meanwhile
        return redirect(url_for("set_out_page.choices", name=name, meanwhile="yes", **typed))
    return redirect(url_for("set_out_page.choices", name=kept_as, **(typed if action else {})))


def _pinned(found: CheckResult, action: str, place: str, typed: Mapping[str, str]) -> list[dict[str, str]]:
    """The pinned trials after one more, or one less."""
    held = pinned(found)
    if action == "pin" and typed and dict(typed) not in held:
        return [*held, dict(typed)][-MOST_PINNED:]
    if action == "let-go" and (gone := number_below(place, len(held))) is not None:
        del held[gone]
    return held


def _page(name: str, found: CheckResult, typed: Mapping[str, str]) -> str:
    now = tried(found, typed)
    query: dict[str, Any] = dict(typed)
    fields, others = fields_of(now.document, trial_fields(), typed, now.problems)
    made = set_outs_of(now.job) if now.job else ()
    was = set_outs_of(found.job) if found.job and made and now is not found else ()
    on = opened(name) if made and request.method == "GET" else None
    block = TitleBlock(
        job=str(now.document.get("name", "")),
        version=digest(now.document)[:8],
        dated=str(now.document.get("revised", "")),
        remark=_("tried, not kept") if now is not found else "",
    )
    page = {
        "name": found.document.get("name", ""),
        "revised": found.document.get("revised", ""),
        "trail": trail(name, "set_out_page.choices"),
        "address": url_for("set_out_page.choices", name=name),
        "trying": now is not found,
        "meanwhile": "meanwhile" in request.args,
        "revision": _revision(name),
        "fields": fields,
        "problems": others,
        "walls": wall_drawings(now.job, made, block, was) if now.job else [],
        "numbers": moved_numbers(made, was),
        "ways": wall_ways(made, typed, now.job.slats.spacers_mm) if now.job else [],
        "pinned": pinned_ways(found),
        "can_pin": len(pinned(found)) < MOST_PINNED,
        "sections": _sections(made),
        "query": query,
        "orbit": url_for("set_out_page.view", name=name, **query) if made else "",
        "still": _still(on) if on else None,
        "views": view_choice("front", len(made)),
        "lightings": on.lightings if on else (),
    }
    return render_template("set_out.html", page=page)


def _still(on: Opened) -> dict[str, str]:
    """What stands there until the view turns, and at its foot what the view will say."""
    label, finish = on.finishes[0]
    state = on.studio.appearance(finish).state
    return {
        "src": on.still(finish=0, lighting=0, view="front", width=480),
        "words": foot(label, on.lightings[0].name, state),
    }


def _sections(made: tuple[SetOut, ...]) -> dict[str, Markup]:
    if not made:
        return {}
    return {level: Markup(section(made[0], width_mm=width)) for level, width in SECTIONS_MM.items()}


def _revision(name: str) -> int | str:
    try:
        return services().store.jobs.get(name).revision
    except KeyError:
        return ""
