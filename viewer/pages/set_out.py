"""The set-out page: the ways to set out the run, to scale, with their reasons; a trial by form."""

from collections.abc import Mapping
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from meshes.layout.alternative import Alternative
from meshes.layout.placed import SetOut
from meshes.layout.setout import set_out
from viewer.drawings.choice import choice_strip
from viewer.drawings.figures import figure
from viewer.drawings.section import section
from viewer.job.check import CheckResult
from viewer.job.model import Job
from viewer.pages.fields import Field, document_with, fields_of
from viewer.pages.job_view import set_out_rows
from viewer.pages.opened import kept_job, trail
from viewer.pages.saving import save
from viewer.services import services

STRIPS_MM = {"wide": (150, 6), "short": (86, 4)}
"""Width of paper and pitches shown at each end."""
SECTIONS_MM = {"wide": 150, "short": 90}

blueprint = Blueprint("set_out_page", __name__)


def trial_fields() -> tuple[Field, ...]:
    """What can be tried on this page, by its path in the job."""
    return (
        Field(path="slats.width_mm", label=_("Slat width"), unit="mm"),
        Field(path="slats.depth_mm", label=_("Slat depth"), unit="mm"),
        Field(path="slats.gap_mm", label=_("Gap wished for"), unit="mm"),
        Field(
            path="slats.ends",
            label=_("Ends on"),
            choices=(("slat", _("a slat")), ("gap", _("a gap"))),
        ),
        Field(
            path="slats.spacing",
            label=_("Spacing"),
            choices=(
                ("even", _("one even gap")),
                ("spacer", _("a spacer from the datum")),
                ("centred", _("centred")),
                ("visible_end", _("from the visible end")),
            ),
        ),
        Field(
            path="slats.closing",
            label=_("Remainder goes to"),
            choices=(
                ("slat", _("a ripped slat")),
                ("gap", _("a gap")),
                ("shadow_gap", _("the shadow gap")),
                ("trim", _("the trim")),
            ),
        ),
    )


@blueprint.get("/jobs/<name>/set-out")
def choices(name: str) -> str:
    """The choices; values in the query are tried without being kept."""
    found = kept_job(name)
    if found is None:
        abort(404)
    return _page(name, found, request.args)


@blueprint.post("/jobs/<name>/set-out")
def keep(name: str) -> AnyResponse:
    """Keep what was tried; 422 with every problem at its field."""
    found = kept_job(name)
    if found is None:
        abort(404)
    document = document_with(found.document, trial_fields(), request.form)
    tried = services().check(document)
    if tried.job is None:
        return Response(_page(name, found, request.form), status=422, mimetype="text/html")
    return redirect(
        url_for("set_out_page.choices", name=save(name, document, request.form.get("revision", "")))
    )


def _page(name: str, found: CheckResult, typed: Mapping[str, str]) -> str:
    tried = services().check(document_with(found.document, trial_fields(), typed)) if typed else found
    fields, others = fields_of(tried.document, trial_fields(), typed, tried.problems)
    made = _set_out(tried.job) if tried.job else None
    page = {
        "name": found.document.get("name", ""),
        "revised": found.document.get("revised", ""),
        "trail": trail(name, "set_out_page.choices"),
        "address": url_for("set_out_page.choices", name=name),
        "trying": bool(typed),
        "fields": fields,
        "problems": others,
        "rows": set_out_rows(made) if made else [],
        "choices": _choices(made) if made else [],
        "rejected": [one.rule for one in made.rejected] if made else [],
        "sections": {level: Markup(section(made, width_mm=width)) for level, width in SECTIONS_MM.items()}
        if made
        else {},
    }
    return render_template("set_out.html", page=page)


def _set_out(job: Job) -> SetOut:
    return set_out(wall=job.wall, openings=job.openings, zones=job.zones, slats=job.slats, panels=job.panels)


def _choices(made: SetOut) -> list[dict[str, Any]]:
    chosen = (made.chosen,) if made.chosen else ()
    return [
        _choice(made, one, chosen=number < len(chosen))
        for number, one in enumerate((*chosen, *made.alternatives))
    ]


def _choice(made: SetOut, one: Alternative, *, chosen: bool) -> dict[str, Any]:
    """One way to set out: its strip, its reason, what to measure."""
    closing = [figure(size) for size in (one.start_slat, one.end_slat) if size]
    return {
        "chosen": chosen,
        "reason": one.reason,
        "strips": {
            level: Markup(choice_strip(made, one, width_mm=width, pitches=pitches))
            for level, (width, pitches) in STRIPS_MM.items()
        },
        "slats": one.slat_count,
        "gap": figure(one.gap),
        "spacer": figure(one.spacer),
        "drift": figure(one.drift),
        "closing": _(" and ").join(closing),
        "resets": ", ".join(figure(place) for place in one.resets[:3]),
        "query": _tried(one),
    }


def _tried(one: Alternative) -> dict[str, str]:
    """The fields that would ask for this way."""
    spacing = {"shifted": "even", "feature": "centred"}.get(one.kind, one.kind)
    asked = {"slats.gap_mm": f"{float(one.gap):.6g}", "slats.spacing": spacing}
    if one.closing in ("slat", "gap", "shadow_gap", "trim"):
        asked["slats.closing"] = one.closing
    if one.ends in ("slat", "gap"):
        asked["slats.ends"] = one.ends
    return asked
