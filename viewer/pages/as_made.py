"""As made: what machine and site gave, what that moves, and whether it stays within what was agreed."""

from collections.abc import Mapping
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from viewer.answers.changes import changes_answer
from viewer.answers.set_out import set_outs_of
from viewer.drawings.marks import opening_word
from viewer.job.check import CheckResult
from viewer.pages.fields import Field, document_with, fields_of
from viewer.pages.job_view import set_out_rows
from viewer.pages.opened import read_job, trail
from viewer.pages.quantities import Row
from viewer.pages.saving import redone, save
from viewer.pages.standing import standing_of
from viewer.services import services

blueprint = Blueprint("as_made_page", __name__)


def made_fields(document: Mapping[str, Any]) -> tuple[tuple[str, tuple[Field, ...]], ...]:
    """What can be found otherwise than planned, by heading, in the order of the work."""
    openings = document.get("openings")
    found = [one for one in openings if isinstance(one, dict)] if isinstance(openings, list) else []
    return (
        (
            _("From the machine"),
            (
                Field(path="slats.as_machined_mm.width", label=_("Slats came out, width"), unit="mm"),
                Field(path="slats.as_machined_mm.depth", label=_("Slats came out, depth"), unit="mm"),
                Field(
                    path="slats.spacers_mm",
                    label=_("Spacers, measured"),
                    unit="mm",
                    holds="many",
                    hint=_("several with a semicolon between"),
                ),
            ),
        ),
        (
            _("On site"),
            (
                Field(path="panels.side_clearance_mm", label=_("Beyond the last panel"), unit="mm"),
                Field(path="panels.joint_clearance_mm", label=_("Between panels"), unit="mm"),
                *(
                    Field(
                        path=f"openings[{number}].clearance_mm",
                        label=_("Round {opening} {number}").format(
                            opening=opening_word(str(one.get("kind", ""))), number=number + 1
                        ),
                        unit="mm",
                    )
                    for number, one in enumerate(found)
                ),
            ),
        ),
    )


@blueprint.get("/jobs/<name>/as-made")
def as_made(name: str) -> str:
    """The form; what the query says is tried without being kept."""
    found, _revision = _kept(name)
    return _page(name, found, request.args.to_dict())


@blueprint.post("/jobs/<name>/as-made")
@redone
def keep(name: str) -> AnyResponse:
    """Keep what was found; 422 with every problem at its field."""
    found, revision = _kept(name)
    typed = request.form.to_dict()
    document = document_with(found.document, _flat(found.document), typed)
    if services().check(document).job is None:
        return Response(_page(name, found, typed), status=422, mimetype="text/html")
    return redirect(url_for("as_made_page.as_made", name=save(name, document, revision)))


def _kept(name: str) -> tuple[CheckResult, int]:
    found, revision = read_job(name)
    if found.job is None:
        abort(404)
    return found, revision


def _flat(document: Mapping[str, Any]) -> tuple[Field, ...]:
    return tuple(field for _heading, fields in made_fields(document) for field in fields)


def _page(name: str, found: CheckResult, typed: Mapping[str, str]) -> str:
    tried = services().check(document_with(found.document, _flat(found.document), typed)) if typed else found
    groups, left = [], list(tried.problems)
    for heading, fields in made_fields(found.document):
        boxes, left = fields_of(tried.document, fields, typed, left)
        groups.append({"heading": heading, "fields": boxes})
    page = {
        "name": found.document.get("name", ""),
        "revised": found.document.get("revised", ""),
        "trail": trail(name, "as_made_page.as_made"),
        "address": url_for("as_made_page.as_made", name=name),
        "groups": groups,
        "problems": left,
        "trying": bool(typed),
        "rows": [],
        "moved": [],
        "standing": None,
    }
    if tried.job is not None and found.job is not None:
        page["rows"] = _numbers(found, tried)
        answer = changes_answer(
            (found.job, found.document), (tried.job, tried.document), services().catalogue, services().prices
        )
        page["moved"] = [*answer["set_out"], *answer["sentences"]]
        page["standing"] = standing_of(name, tried.job)
    return render_template("as_made.html", page=page)


def _numbers(was: CheckResult, now: CheckResult) -> list[Row]:
    """The set-out's numbers; one that moved has what it was as its note."""
    assert was.job is not None
    assert now.job is not None
    before, after = (set_out_rows(set_outs_of(job)[0]) for job in (was.job, now.job))
    return [
        Row(
            what=row.what,
            amount=row.amount,
            unit=row.unit,
            note=row.note if row.amount == old.amount else _("was {amount}").format(amount=old.amount),
        )
        for old, row in zip(before, after, strict=True)
    ]
