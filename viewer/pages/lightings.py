"""Lightings: presets first, behind them lamps placed in plan and section, by hand, by keys or by numbers."""

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from copy import deepcopy
from gettext import gettext as _
from itertools import chain, count
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from meshes.stills.camera import VIEWS, views
from viewer.job.check import CheckResult
from viewer.job.choices import lightings
from viewer.job.model import Job
from viewer.lighting_presets import presets
from viewer.pages.fields import Field, document_with, fields_of
from viewer.pages.lamp_fields import NUMBERS, lamp_fields
from viewer.pages.lamp_planes import plane_views
from viewer.pages.opened import Given, Opened, chosen, opened, read_job, trail
from viewer.pages.places import number_below, put_at, value_at
from viewer.pages.room_drawn import WallInPlan, walls_in_plan
from viewer.pages.saving import redone, save
from viewer.pages.ways import wall_heading
from viewer.services import services

MOST = 12
MOST_STILLS = 3
"""With more walls than this only the picture of the chosen one is made at once: each takes its time."""
blueprint = Blueprint("lightings_page", __name__, url_prefix="/jobs/<name>/lightings")


@blueprint.get("")
def page(name: str) -> str:
    """One lighting of the job, and the way to the others."""
    found, job, _revision = _kept(name)
    document = _stated(found.document, job)
    at = chosen("at", len(document["lightings"]))
    return _page(name, document, services().check(document), at, request.args, {})


@blueprint.post("")
@redone
def keep(name: str) -> AnyResponse:
    """Keep the lamps as typed, or put in or take away a lamp or a lighting; 422 with every problem."""
    found, job, revision = _kept(name)
    document, form = _stated(found.document, job), request.form
    at = chosen("at", len(document["lightings"]), form)
    document = _typed(document, at, form, walls_in_plan(job))
    what, _space, which = form.get("do", "save").partition(" ")
    at = _changed(document, job, at, what, which)
    made = services().check(document)
    if made.job is None:
        return Response(_page(name, document, made, at, form, form), status=422, mimetype="text/html")
    wall = chosen("wall", 1 + len(job.next_walls), form)
    kept_as = save(name, document, revision)
    return redirect(url_for("lightings_page.page", name=kept_as, at=at, wall=wall or None))


def _kept(name: str) -> tuple[CheckResult, Job, int]:
    found, revision = read_job(name)
    if found.job is None:
        abort(404)
    return found, found.job, revision


def _stated(document: Mapping[str, Any], job: Job) -> dict[str, Any]:
    """The document with its lightings written out, where the job leaves them to the room."""
    stated = deepcopy(dict(document))
    if not stated.get("lightings"):
        stated["lightings"] = [one.model_dump(mode="json") for one in lightings(job)]
    return stated


def _fields(document: Mapping[str, Any], at: int, walls: Sequence[WallInPlan]) -> list[Field]:
    fields = [Field(path=f"lightings[{at}].name", label=_("Called"))]
    for number, lamp in enumerate(document["lightings"][at]["lamps"]):
        fields += lamp_fields(f"lightings[{at}].lamps[{number}]", lamp, walls)
    return fields


def _typed(
    document: dict[str, Any], at: int, form: Mapping[str, str], walls: Sequence[WallInPlan]
) -> dict[str, Any]:
    fields = _fields(document, at, walls)
    made = document_with(document, fields, form)
    for field in fields:
        if field.path.rpartition(".")[2] in NUMBERS:
            text = str(value_at(made, field.path)).replace(",", ".")
            with suppress(ValueError):  # what is no number stays as typed, for the check to refuse
                put_at(made, field.path, float(text))
    return made


def _changed(document: dict[str, Any], job: Job, at: int, what: str, which: str) -> int:
    """Does what a press says; returns the place of the lighting to show then."""
    listed, known = document["lightings"], presets(job)
    lamps = listed[at]["lamps"]
    if what == "preset" and which in known and len(listed) < MOST:
        new = known[which][1].model_dump(mode="json")
        again = (f"{new['name']} {number}" for number in count(2))
        new["name"] = _free(chain([new["name"]], again), listed)
        listed.append(new)
        return len(listed) - 1
    if what == "away" and len(listed) > 1:
        del listed[at]
        return max(0, at - 1)
    if what == "lamp":
        new = deepcopy(lamps[-1])
        pattern = _("lamp {number}")
        new["name"] = _free((pattern.format(number=number) for number in count(len(lamps) + 1)), lamps)
        lamps.append(new)
    if what == "take" and len(lamps) > 1 and (taken := number_below(which, len(lamps))) is not None:
        del lamps[taken]
    return at


def _free(names: Iterable[str], listed: Sequence[Mapping[str, Any]]) -> str:
    """The first of the names that nothing in a list has."""
    taken = {one.get("name") for one in listed}
    return next(name for name in names if name not in taken)


def _page(
    name: str, document: dict[str, Any], made: CheckResult, at: int, asked: Given, typed: Mapping[str, str]
) -> str:
    found, job, _revision = _kept(name)
    walls = walls_in_plan(job)
    left, lamps = list(made.problems), []
    (called, *_rest), left = fields_of(document, _fields(document, at, walls)[:1], typed, left)
    for number, lamp in enumerate(document["lightings"][at]["lamps"]):
        fields = lamp_fields(f"lightings[{at}].lamps[{number}]", lamp, walls)
        boxes, left = fields_of(document, fields, typed, left)
        lamps.append({"number": number, "name": lamp.get("name", ""), "fields": boxes})
    kept_here = made.job is not None and found.document == document
    wall = chosen("wall", len(walls), asked)
    plan, *sections = plane_views(walls, job.room, document["lightings"][at]["lamps"])
    page = {
        "name": document.get("name", ""),
        "revised": document.get("revised", ""),
        "trail": trail(name, "lightings_page.page"),
        "address": url_for("lightings_page.page", name=name),
        "at": at,
        "listed": [
            (
                one.get("name", ""),
                url_for("lightings_page.page", name=name, at=number, wall=wall or None),
                number == at,
            )
            for number, one in enumerate(document["lightings"])
        ],
        "presets": [(key, words) for key, (words, _lighting) in presets(job).items()],
        "room_for_more": len(document["lightings"]) < MOST,
        "called": called,
        "lamps": lamps,
        "plan": plan,
        "sections": sections,
        "wall": wall,
        "stills": _stills(opened(name), at, wall) if kept_here or not typed else [],
        "problems": left,
    }
    return render_template("lightings.html", page=page)


def _stills(on: Opened, at: int, wall: int) -> list[tuple[str, str, bool]]:
    """Of each wall the address of its picture under a lighting, what it is called, and whether that is asked
    for at once.
    """
    shown = ["front", *views(on.walls)[len(VIEWS) :]]
    lighting = min(at, len(on.lightings) - 1)
    return [
        (
            on.still(finish=0, lighting=lighting, view=view, width=480),
            wall_heading(place + 1, on.walls),
            on.walls <= MOST_STILLS or place == wall,
        )
        for place, view in enumerate(shown)
    ]
