"""The survey page: what the tape said, following it round the wall; in mm, or feet and inches."""

from collections.abc import Mapping
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from meshes.layout.setout import set_out
from viewer.drawings.elevation import elevation
from viewer.drawings.marks import OPENING_KINDS, opening_word, zone_word
from viewer.job.check import CheckResult
from viewer.pages.fields import Field, document_with, fields_of, value_at
from viewer.pages.job_view import LEVELS_MM
from viewer.pages.opened import kept_job, trail
from viewer.pages.saving import save
from viewer.services import services
from viewer.store.jobs import JobUnknownError, SavedMeanwhileError

NEW_OPENING = {"kind": "socket", "left_mm": 300, "bottom_mm": 300, "width_mm": 86, "height_mm": 86}
NEW_ZONE = {"kind": "hidden", "left_mm": 300, "bottom_mm": 0, "width_mm": 900, "height_mm": 700}

blueprint = Blueprint("survey_page", __name__)


def wall_groups() -> list[tuple[str, tuple[Field, ...]]]:
    """The fields of the wall in measuring order, by heading."""
    meets = (
        ("wall", _("a wall")),
        ("open", _("nothing, it is open")),
        ("inside_corner", _("an inside corner")),
        ("outside_corner", _("an outside corner")),
    )

    def end(side: str) -> tuple[Field, ...]:
        return (
            Field(path=f"wall.{side}.meets", label=_("It meets"), choices=meets),
            Field(path=f"wall.{side}.out_of_plumb_mm", label=_("Leans in at the top"), unit="mm"),
            Field(path=f"wall.{side}.shadow_gap_mm", label=_("Shadow gap"), unit="mm"),
            Field(path=f"wall.{side}.trim_mm", label=_("Trim"), unit="mm"),
        )

    return [
        (
            _("Job"),
            (
                Field(path="name", label=_("Name")),
                Field(path="revised", label=_("Measured on"), hint=_("year-month-day")),
            ),
        ),
        (
            _("Wall"),
            (
                Field(path="wall.width_mm", label=_("Width"), unit="mm"),
                Field(path="wall.height_mm", label=_("Height"), unit="mm"),
                Field(path="wall.skirting_mm", label=_("Kept skirting, height"), unit="mm"),
                Field(path="wall.skirting_projection_mm", label=_("Kept skirting, stands out"), unit="mm"),
            ),
        ),
        (_("Left end"), end("left")),
        (_("Right end"), end("right")),
    ]


def region_fields(kind: str, number: int) -> tuple[Field, ...]:
    """The fields of one opening or zone; ``kind`` is openings or zones."""
    words = {
        "openings": tuple((word, opening_word(word)) for word in OPENING_KINDS),
        "zones": tuple((word, zone_word(word)) for word in ("hidden", "no_drill", "access")),
    }[kind]
    path = f"{kind}[{number}]"
    return (
        Field(path=f"{path}.kind", label=_("What"), choices=words),
        Field(path=f"{path}.left_mm", label=_("From the left"), unit="mm"),
        Field(path=f"{path}.bottom_mm", label=_("From the floor"), unit="mm"),
        Field(path=f"{path}.width_mm", label=_("Width"), unit="mm"),
        Field(path=f"{path}.height_mm", label=_("Height"), unit="mm"),
    )


def all_fields(document: Mapping[str, Any]) -> list[Field]:
    """Every field of the form for a document."""
    found = [field for _heading, fields in wall_groups() for field in fields]
    for kind in ("openings", "zones"):
        listed = document.get(kind)
        for number in range(len(listed) if isinstance(listed, list) else 0):
            found += region_fields(kind, number)
    return found


@blueprint.get("/jobs/<name>/survey")
def survey(name: str) -> str:
    """The form."""
    found = kept_job(name)
    if found is None:
        abort(404)
    return _page(name, found, found, {})


@blueprint.post("/jobs/<name>/survey")
def keep(name: str) -> AnyResponse:
    """Keep the survey as typed, with its problems: half a survey is worth keeping too."""
    found = kept_job(name)
    if found is None:
        abort(404)
    form = request.form
    document = document_with(found.document, all_fields(found.document), _given(form, found.document))
    _change_lists(document, form.get("do", ""))
    try:
        kept_as = save(name, document, form.get("revision", ""))
    except SavedMeanwhileError as error:
        mine = services().check(document)
        return Response(
            _page(name, mine, mine, _given(form, document), other=dict(error.current.document)),
            status=409,
            mimetype="text/html",
        )
    return redirect(url_for("survey_page.survey", name=kept_as))


def _given(form: MultiDict[str, str], document: Mapping[str, Any]) -> dict[str, str]:
    """What was typed. An empty optional field whose place the job does not have stays away."""
    return {
        path: text
        for path, text in form.items()
        if path not in ("do", "revision") and (text.strip() or value_at(document, path) is not None)
    }


def _change_lists(document: dict[str, Any], what: str) -> None:
    """``add openings``, ``take zones 2`` …: the presses beside the lists."""
    action, _space, rest = what.partition(" ")
    kind, _space, number = rest.partition(" ")
    if kind not in ("openings", "zones"):
        return
    listed = list(document.get(kind) or [])
    if action == "add":
        listed.append(dict(NEW_OPENING if kind == "openings" else NEW_ZONE))
    elif action == "take" and number.isdecimal() and int(number) < len(listed):
        del listed[int(number)]
    document[kind] = listed


def _page(
    name: str,
    found: CheckResult,
    drawn: CheckResult,
    typed: Mapping[str, str],
    other: Mapping[str, Any] | None = None,
) -> str:
    document, left = found.document, list(found.problems)
    groups = []
    for heading, fields in wall_groups():
        boxes, left = fields_of(document, fields, typed, left)
        groups.append({"heading": heading, "fields": boxes})
    lists = []
    for kind, heading, press in (
        ("openings", _("Sockets, switches, windows and the like"), _("Add an opening")),
        ("zones", _("Zones"), _("Add a zone")),
    ):
        rows = []
        listed = document.get(kind)
        for number in range(len(listed) if isinstance(listed, list) else 0):
            boxes, left = fields_of(document, region_fields(kind, number), typed, left)
            rows.append({"number": number, "fields": boxes})
        lists.append({"kind": kind, "heading": heading, "press": press, "rows": rows})
    page = {
        "name": document.get("name", ""),
        "revised": document.get("revised", ""),
        "trail": trail(name, "survey_page.survey"),
        "address": url_for("survey_page.survey", name=name),
        "revision": _revision(name),
        "groups": groups,
        "lists": lists,
        "problems": left,
        "elevations": _elevations(drawn),
        "other": other,
    }
    return render_template("survey.html", page=page)


def _revision(name: str) -> int:
    try:
        return services().store.jobs.get(name).revision
    except JobUnknownError:
        return 0


def _elevations(found: CheckResult) -> dict[str, Markup]:
    """The wall as it stands, once the survey can be set out."""
    job = found.job
    if job is None:
        return {}
    made = set_out(wall=job.wall, openings=job.openings, zones=job.zones, slats=job.slats, panels=job.panels)
    return {
        level: Markup(elevation(made, zones=job.zones, width_mm=width, height_mm=height))
        for level, (width, height) in LEVELS_MM.items()
    }
