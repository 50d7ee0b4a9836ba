"""The survey page: what the tape said, following it round the wall; in mm, or feet and inches."""

from collections.abc import Mapping, Sequence
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, redirect, render_template, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response as AnyResponse

from viewer.job.check import CheckResult
from viewer.job.reading import Problem
from viewer.pages.fields import document_with
from viewer.pages.job_files import records_of
from viewer.pages.opened import read_job, trail
from viewer.pages.photo_list import photos_of
from viewer.pages.saving import revision_given, save
from viewer.pages.survey_form import all_fields
from viewer.pages.survey_lists import NEXT_TO_MM, arrange_lists, change_lists
from viewer.pages.survey_view import SurveyView, differences, row_templates
from viewer.services import services
from viewer.store.jobs import JobUnknownError, SavedMeanwhileError

NO_FIELDS = frozenset({"do", "list", "revision", "form_token"})

blueprint = Blueprint("survey_page", __name__)


@blueprint.get("/jobs/<name>/survey")
def survey(name: str) -> str:
    """The form."""
    found, _read = read_job(name)
    return page_of(name, found, {})


@blueprint.post("/jobs/<name>/survey")
def keep(name: str) -> AnyResponse:
    """Keep the survey as typed, with its problems: half a survey is worth keeping too."""
    found, read = read_job(name)
    typed = _typed(request.form)
    arranged = arrange_lists(found.document, request.form.getlist("list"), current=_is_current(name))
    document = document_with(arranged, all_fields(arranged, typed), typed)
    changed = change_lists(document, request.form.get("do", ""))
    if document == found.document:
        return redirect(url_for("survey_page.survey", name=name))
    try:
        # of two, the later is the press that says which state the typing is to replace
        kept_as = save(name, document, revision_given(["", *request.form.getlist("revision")][-1], read))
    except SavedMeanwhileError as error:
        theirs = dict(error.current.document)
        rows = differences(document, theirs, typed)
        other = {"revision": error.current.revision, "rows": rows}
        page = page_of(name, services().check(document), {} if changed else typed, other=other)
        return Response(page, status=409, mimetype="text/html")
    return redirect(url_for("survey_page.survey", name=kept_as, _anchor=changed))


def _typed(form: MultiDict[str, str]) -> dict[str, str]:
    return {path: text for path, text in form.items() if path not in NO_FIELDS}


def _is_current(name: str) -> bool:
    """Whether the form was given out with the state that is kept now."""
    return request.form.get("revision", "") in ("", str(_revision(name)))


def page_of(
    name: str,
    found: CheckResult,
    typed: Mapping[str, str],
    *,
    other: Mapping[str, Any] | None = None,
    photo_problems: Sequence[Problem] = (),
) -> str:
    """The survey; ``other`` is what was saved meanwhile, ``photo_problems`` what is wrong with photos."""
    view = SurveyView(found.document, typed, found.problems)
    address = url_for("survey_page.survey", name=name)
    page = {
        "job": name,
        "name": found.document.get("name", ""),
        "revised": found.document.get("revised", ""),
        "trail": trail(name, "survey_page.survey"),
        "address": address,
        "revision": request.form.get("revision", "") if other else _revision(name),
        "groups": view.groups,
        "walls": view.walls,
        "rows": row_templates(),
        "next_to_mm": NEXT_TO_MM,
        "problems": view.left,
        "other": other,
        "photos": photos_of(name),
        "photo_problems": photo_problems,
        "is_kept": bool(_revision(name)),
        "photos_address": url_for("photos.add", name=name),
        "records": records_of(name),
        "sheets": {
            "a4": url_for("survey_sheets.sheet", name=name),
            "letter": url_for("survey_sheets.sheet", name=name, paper="letter"),
        },
        "words": {
            "keeping": _("Keeping what was typed …"),
            "kept": _("Kept."),
            "waiting": _(
                "No connection: everything is kept on this device and sent later; drawings follow then."
            ),
            "refused": _("The program did not take it; what you typed is kept on this device."),
            "other": _("Saved elsewhere meanwhile: see the top of the page."),
            "place": _("{what}: {left} mm from the left, {bottom} mm from the floor"),
        },
    }
    return render_template("survey.html", page=page)


def _revision(name: str) -> int:
    try:
        return services().store.jobs.get(name).revision
    except JobUnknownError:
        return 0
