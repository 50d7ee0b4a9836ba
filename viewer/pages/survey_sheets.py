"""Blank survey sheets to print: one page a wall, for a job or before there is one."""

from gettext import gettext as _

from flask import Blueprint, Response, request

from viewer.job.canonical import digest
from viewer.pages.opened import read_job
from viewer.pages.places import number_below
from viewer.pages.survey_form import walls_of
from viewer.sheets.paper import PaperName, Stamp
from viewer.sheets.survey_sheet import survey_sheet

MOST_WALLS = 13
PAPERS: dict[str, PaperName] = {"a4": "A4", "letter": "Letter"}

blueprint = Blueprint("survey_sheets", __name__)


@blueprint.get("/survey-sheet.pdf")
def blank() -> Response:
    """A sheet for a wall that is no job yet; ``?walls=2`` for two, ``?paper=letter`` for Letter."""
    walls = number_below(request.args.get("walls", ""), MOST_WALLS + 1)
    return _pdf(
        walls or 1, Stamp(job=_("Job: ________________________"), version="–", job_format=1, revised="")
    )


@blueprint.get("/jobs/<name>/survey-sheet.pdf")
def sheet(name: str) -> Response:
    """A blank sheet with the job's name, and a page for each of its walls."""
    found, _revision = read_job(name)
    document = found.document
    stamp = Stamp(
        job="".join(sign if sign.isprintable() else " " for sign in str(document.get("name", ""))).strip(),
        version=digest(document)[:8],
        job_format=1,
        revised=str(document.get("revised", "")),
    )
    return _pdf(len(walls_of(document, {})), stamp)


def _pdf(walls: int, stamp: Stamp) -> Response:
    paper = PAPERS.get(request.args.get("paper", "a4"), "A4")
    return Response(survey_sheet(walls=walls, paper=paper, stamp=stamp), mimetype="application/pdf")
