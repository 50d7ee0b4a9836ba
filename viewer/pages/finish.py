"""The finish page: every tone on a timber as a band of its own board, and how the chosen one differs."""

from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from finishes.appearance import appearance
from finishes.band import band
from finishes.choice import Finish
from finishes.difference import BANDS, ciede2000
from finishes.lamps import lamp
from viewer.answers.take_off import take_off_answer
from viewer.figure import figure_of
from viewer.job.choices import chosen_finish
from viewer.pages.bands import band_png
from viewer.pages.job_view import finish_words, unlit_hex
from viewer.pages.opened import first_entries, kept_job, opened, trail
from viewer.pages.quantities import quantity_rows
from viewer.pages.saving import save
from viewer.services import services

MOST_COATS = 3
A_DAY_S = 86_400

blueprint = Blueprint("finish_page", __name__)


def asked(start: Finish) -> Finish:
    """The finish that the query or form asks for; what it does not name stays as it was."""
    catalogue = services().catalogue
    values = dict(start)
    for kind in ("timber", "stain", "topcoat", "fabric"):
        name = request.values.get(kind)
        if name is not None and name in catalogue.entries(kind):
            values[kind] = name
    coats = request.values.get("coats", "")
    if coats.isdecimal() and int(coats) <= MOST_COATS:
        values["coats"] = int(coats)
    if "stain" in request.values:
        values["own_tone"] = None
    if values != dict(start):
        values["name"] = ""
    return Finish(**values)


@blueprint.get("/jobs/<name>/finish")
def finish(name: str) -> str:
    """Every tone on the chosen timber; another timber, topcoat or backing by the form."""
    on = opened(name)
    catalogue, names = services().catalogue, first_entries()
    kept = chosen_finish(on.job)
    now = asked(kept)
    daylight = lamp("D65")
    chosen_band = band(appearance(now, catalogue), daylight)
    now_tone = now.stain or names["stain"]
    tones = []
    for tone in catalogue.stain:
        one = now.model_copy(update={"stain": tone, "own_tone": None, "name": ""})
        shown = band(appearance(one, catalogue), daylight)
        difference = float(ciede2000(shown.mean_lab, chosen_band.mean_lab))
        tones.append(
            {
                "name": tone,
                "band": url_for("finish_page.band_of", **_query(one)),
                "words": shown.words,
                "difference": "" if tone == now_tone else _compared(difference),
                "checked": tone == now_tone,
            }
        )
    answer = take_off_answer(on.job, now, finish_words(now, names), catalogue)
    page = {
        "name": on.job.name,
        "revised": on.job.revised,
        "trail": trail(name, "finish_page.finish"),
        "address": url_for("finish_page.finish", name=name),
        "words": finish_words(now, names),
        "state": chosen_band.words,
        "trying": now != kept,
        "kept_by": _query(now),
        "tones": tones,
        "choices": [
            {
                "kind": kind,
                "label": label,
                "options": list(catalogue.entries(kind)),
                "value": getattr(now, kind) or names[kind],
            }
            for kind, label in (
                ("timber", _("Timber")),
                ("topcoat", _("Topcoat")),
                ("fabric", _("Backing")),
            )
        ],
        "coats": now.coats,
        "most_coats": MOST_COATS,
        "rows": quantity_rows(answer),
        "swatches": [
            {"name": _("slat"), "srgb_hex": unlit_hex(appearance(now, catalogue), "slat_front")},
            {"name": _("backing"), "srgb_hex": unlit_hex(appearance(now, catalogue), "fabric")},
        ],
        "ageing": catalogue.named("timber", now.timber).ageing,
    }
    return render_template("finish.html", page=page)


@blueprint.post("/jobs/<name>/finish")
def keep(name: str) -> AnyResponse:
    """Keep the finish as the chosen one, or beside the candidates."""
    found = kept_job(name)
    if found is None or found.job is None:
        abort(404)
    now = asked(chosen_finish(found.job))
    values: dict[str, Any] = now.model_dump(exclude_defaults=True, mode="json")
    values["name"] = finish_words(now, first_entries())[:120]
    document = dict(found.document)
    if request.form.get("do") == "beside":
        document["finishes"] = [*document.get("finishes", []), values]
    else:
        document["finish"] = values
    if services().check(document).job is None:
        abort(422)
    return redirect(url_for("finish_page.finish", name=save(name, document, "")))


@blueprint.get("/bands.png")
def band_of() -> Response:
    """The band of any finish of the catalogue, by its names."""
    one = asked(Finish())
    seen = appearance(one, services().catalogue)
    data = band_png(seen, figure_of(one, services().catalogue), lamp("D65"))
    response = Response(data, mimetype="image/png")
    response.headers["Cache-Control"] = f"private, max-age={A_DAY_S}"
    return response


def _compared(difference: float) -> str:
    """How a tone and the chosen one compare: words for the client, CIEDE2000 for the maker."""
    words = next(words for limit, words in BANDS if difference < limit)
    return f"{words} ({difference:.0f})"


def _query(one: Finish) -> dict[str, Any]:
    names = first_entries()
    found: dict[str, Any] = {
        kind: getattr(one, kind) or names[kind] for kind in ("timber", "stain", "topcoat", "fabric")
    }
    return {**found, "coats": one.coats}
