"""Lightings: presets first, behind them lamps placed in plan and section, by hand, by keys or by numbers."""

from collections.abc import Mapping
from contextlib import suppress
from copy import deepcopy
from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from viewer.job.check import CheckResult
from viewer.job.choices import lightings
from viewer.lighting_presets import presets
from viewer.pages.fields import Field, document_with, fields_of
from viewer.pages.lamp_planes import plane_views
from viewer.pages.opened import chosen, kept_job, opened, trail
from viewer.pages.places import put_at, value_at
from viewer.pages.saving import save
from viewer.services import services

MOST = 12
NUMBERS = ("lumens", "dimmed_to")
FACES = ("down", "up", "left", "right", "wall", "room")

blueprint = Blueprint("lightings_page", __name__, url_prefix="/jobs/<name>/lightings")


def face_words() -> dict[str, str]:
    """Where a lamp shines."""
    return {
        "down": _("down"),
        "up": _("up"),
        "left": _("to the left"),
        "right": _("to the right"),
        "wall": _("at the wall"),
        "room": _("into the room"),
    }


def lamp_fields(path: str, lamp: Mapping[str, Any]) -> tuple[Field, ...]:
    """The fields of one lamp. A direction that is a vector is left as it stands."""
    faces, light = lamp.get("faces"), lamp.get("spectrum")
    known = services().catalogue.entries("lamp")
    names = [(name, name) for name in known]
    names += [(light, f"{light}, {name}") for name, entry in known.items() if entry.spectrum == light][:1]
    centre = (_("From the left"), _("From the floor"), _("Out from the wall"))
    return (
        Field(path=f"{path}.name", label=_("Called")),
        *(
            Field(path=f"{path}.centre_mm[{axis}]", label=words, unit="mm")
            for axis, words in enumerate(centre)
        ),
        Field(path=f"{path}.size_mm[0]", label=_("Long"), unit="mm"),
        Field(path=f"{path}.size_mm[1]", label=_("Wide"), unit="mm"),
        *(
            (Field(path=f"{path}.faces", label=_("Shines"), choices=tuple(face_words().items())),)
            if faces in FACES
            else ()
        ),
        Field(path=f"{path}.spectrum", label=_("Kind of light"), choices=tuple(names)),
        Field(path=f"{path}.lumens", label=_("Lumens, undimmed")),
        Field(path=f"{path}.dimmed_to", label=_("Dimmed to"), hint=_("share of its light; empty: all of it")),
    )


@blueprint.get("")
def page(name: str) -> str:
    """One lighting of the job, and the way to the others."""
    found = _kept(name)
    document = _stated(found)
    return _page(name, document, services().check(document), chosen("at", len(document["lightings"])), {})


@blueprint.post("")
def keep(name: str) -> AnyResponse:
    """Keep the lamps as typed, or put in or take away a lamp or a lighting; 422 with every problem."""
    found = _kept(name)
    document, form = _stated(found), request.form
    at = chosen("at", len(document["lightings"]), form)
    document = _typed(document, at, form)
    what, _space, which = form.get("do", "save").partition(" ")
    at = _changed(document, found, at, what, which)
    made = services().check(document)
    if made.job is None:
        return Response(_page(name, document, made, at, form), status=422, mimetype="text/html")
    return redirect(url_for("lightings_page.page", name=save(name, document, ""), at=at))


def _kept(name: str) -> CheckResult:
    found = kept_job(name)
    if found is None or found.job is None:
        abort(404)
    return found


def _stated(found: CheckResult) -> dict[str, Any]:
    """The document with its lightings written out, where the job leaves them to the room."""
    assert found.job is not None
    document = deepcopy(dict(found.document))
    if not document.get("lightings"):
        document["lightings"] = [one.model_dump(mode="json") for one in lightings(found.job)]
    return document


def _fields(document: Mapping[str, Any], at: int) -> list[Field]:
    fields = [Field(path=f"lightings[{at}].name", label=_("Called"))]
    for number, lamp in enumerate(document["lightings"][at]["lamps"]):
        fields += lamp_fields(f"lightings[{at}].lamps[{number}]", lamp)
    return fields


def _typed(document: dict[str, Any], at: int, form: Mapping[str, str]) -> dict[str, Any]:
    made = document_with(document, _fields(document, at), form)
    for field in _fields(document, at):
        if field.path.rpartition(".")[2] in NUMBERS:
            text = str(value_at(made, field.path)).replace(",", ".")
            with suppress(ValueError):  # what is no number stays as typed, for the check to refuse
                put_at(made, field.path, float(text))
    return made


def _changed(document: dict[str, Any], found: CheckResult, at: int, what: str, which: str) -> int:
    """Does what a press says; returns the place of the lighting to show then."""
    assert found.job is not None
    listed, known = document["lightings"], presets(found.job)
    lamps = listed[at]["lamps"]
    if what == "preset" and which in known and len(listed) < MOST:
        new = known[which][1].model_dump(mode="json")
        names = {one.get("name") for one in listed}
        new["name"] = next(
            name
            for name in (new["name"], *(f"{new['name']} {number}" for number in range(2, 99)))
            if name not in names
        )
        listed.append(new)
        return len(listed) - 1
    if what == "away" and len(listed) > 1:
        del listed[at]
        return max(0, at - 1)
    if what == "lamp":
        new = deepcopy(lamps[-1])
        new["name"] = _("lamp {number}").format(number=len(lamps) + 1)
        lamps.append(new)
    if what == "take" and which.isdecimal() and int(which) < len(lamps) > 1:
        del lamps[int(which)]
    return at


def _page(name: str, document: dict[str, Any], made: CheckResult, at: int, typed: Mapping[str, str]) -> str:
    left, lamps = list(made.problems), []
    (called, *_rest), left = fields_of(document, _fields(document, at)[:1], typed, left)
    for number, lamp in enumerate(document["lightings"][at]["lamps"]):
        boxes, left = fields_of(document, lamp_fields(f"lightings[{at}].lamps[{number}]", lamp), typed, left)
        lamps.append({"number": number, "name": lamp.get("name", ""), "fields": boxes})
    found = _kept(name)
    assert found.job is not None
    kept_here = made.job is not None and found.document == document
    on = opened(name) if kept_here or not typed else None
    still = on.still(finish=0, lighting=min(at, len(on.lightings) - 1), view="front", width=480) if on else ""
    page = {
        "name": document.get("name", ""),
        "revised": document.get("revised", ""),
        "trail": trail(name, "lightings_page.page"),
        "address": url_for("lightings_page.page", name=name),
        "at": at,
        "listed": [
            (one.get("name", ""), url_for("lightings_page.page", name=name, at=number), number == at)
            for number, one in enumerate(document["lightings"])
        ],
        "presets": [(key, words) for key, (words, _lighting) in presets(found.job).items()],
        "room_for_more": len(document["lightings"]) < MOST,
        "called": called,
        "lamps": lamps,
        "planes": plane_views(found.job, document["lightings"][at]["lamps"]),
        "problems": left,
        "still": still,
    }
    return render_template("lightings.html", page=page)
