"""The finish page: what is chosen stands in the lit view, as a band and as exact colours without the light.

A candidate of the job is put on without a request; anything else with one (``tried``), which brings spectra
and figure for the view and the readings beside it. The tones on another timber follow by themselves.
"""

from gettext import gettext as _
from typing import Any

from flask import Blueprint, Response, abort, jsonify, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from finishes.appearance import appearance
from finishes.band import band
from finishes.choice import Finish
from finishes.difference import BANDS, ciede2000
from finishes.lamps import lamp
from viewer.answers.take_off import answer_of
from viewer.figure import figure_of
from viewer.job.canonical import digest
from viewer.job.choices import chosen_finish
from viewer.pages import words
from viewer.pages.bands import band_png
from viewer.pages.job_view import finish_words, script_json, unlit_hex
from viewer.pages.needed import needed, price_row, why_moved
from viewer.pages.opened import Opened, chosen, chosen_view, first_entries, opened, read_job, view_choice
from viewer.pages.orbit_data import candidate_data
from viewer.pages.orbit_figure import stems_json
from viewer.pages.quantities import quantity_rows
from viewer.pages.saving import redone, save
from viewer.pages.tried_finish import BETWEEN, KINDS, MOST_COATS, asked, query_of
from viewer.services import services

A_DAY_S = 86_400

blueprint = Blueprint("finish_page", __name__)


@blueprint.get("/jobs/<name>/finish")
def finish(name: str) -> str:
    """The page; what the query asks for is tried on."""
    on = opened(name)
    now, problems = asked(chosen_finish(on.job))
    lighting, view = chosen("lighting", len(on.lightings)), chosen_view(walls=on.walls)
    orbit = on.orbit()
    orbit["candidates"].append(_tried(on, now))
    address = url_for("finish_page.finish", name=name)
    candidates = [
        {
            "key": str(number),
            "name": label,
            "address": url_for("finish_page.finish", name=name, **query_of(one)),
            "current": one.model_copy(update={"name": now.name}) == now,
        }
        for number, (label, one) in enumerate(on.finishes)
    ]
    shown = next((str(one["name"]) for one in candidates if one["current"]), _words(now))
    page = {
        **on.heading("finish_page.finish"),
        "id": name,
        "address": address,
        "form": _form(now, problems),
        "still": {
            "src": on.still(finish=0, lighting=lighting, view=view, **query_of(now)),
            "words": words.foot(shown, on.lightings[lighting].name, on.studio.appearance(now).state),
        },
        "views": view_choice(view, on.walls),
        "lightings": [
            {"key": str(number), "name": one.name, "checked": number == lighting}
            for number, one in enumerate(on.lightings)
        ],
        "candidates": candidates,
        "readings": [
            {"key": str(number), **_reading(on, one)} for number, (_label, one) in enumerate(on.finishes)
        ],
        "tried": {"key": orbit["candidates"][-1]["key"], **_reading(on, now)},
        "tones": _tones(now),
        "timber": _timber(now),
        "orbit": script_json(orbit),
    }
    return render_template("finish.html", page=page)


@blueprint.get("/jobs/<name>/finish/tried")
def tried(name: str) -> Response:
    """A finish as the view puts it on, or null, and its readings as a piece of the page."""
    on = opened(name)
    now, problems = asked(chosen_finish(on.job))
    reading = {} if problems else {"key": _key(now), **_reading(on, now)}
    piece = render_template("_finish_reading.html", reading=reading, problems=problems)
    return jsonify({"candidate": None if problems else _tried(on, now), "reading": piece})


@blueprint.get("/jobs/<name>/finish/tones")
def tones(name: str) -> str:
    """Every tone on the timber that is asked for, as a piece of the page."""
    now, _problems = asked(chosen_finish(opened(name).job))
    return render_template("_finish_tones.html", tones=_tones(now), timber=_timber(now))


@blueprint.post("/jobs/<name>/finish")
@redone
def keep(name: str) -> AnyResponse:
    """Keep the finish as the chosen one, or beside the candidates."""
    found, revision = read_job(name)
    if found.job is None:
        abort(404)
    now, problems = asked(chosen_finish(found.job))
    values: dict[str, Any] = now.model_dump(exclude_defaults=True, mode="json")
    values["name"] = _words(now)[:120]
    document = dict(found.document)
    if request.form.get("do") == "beside":
        document["finishes"] = [*document.get("finishes", []), values]
    else:
        document["finish"] = values
    if problems or services().check(document).job is None:
        abort(422)
    return redirect(url_for("finish_page.finish", name=save(name, document, revision)))


@blueprint.get("/bands.png")
def band_of() -> Response:
    """The band of any finish of the catalogue, by its names."""
    one, problems = asked(Finish())
    if problems:
        abort(422)
    seen = appearance(one, services().catalogue)
    data = band_png(seen, figure_of(one, services().catalogue), lamp("D65"))
    response = Response(data, mimetype="image/png")
    response.headers["Cache-Control"] = f"private, max-age={A_DAY_S}"
    return response


def _words(one: Finish) -> str:
    return finish_words(one, first_entries())


def _timber(one: Finish) -> str:
    return one.timber or services().catalogue.default("timber")


def _key(one: Finish) -> str:
    """A name of the tried finish that no candidate's place has: views keep what they solved by it."""
    return "t" + digest(one.model_dump(mode="json"))[:12]


def _tried(on: Opened, now: Finish) -> dict[str, Any]:
    figure = figure_of(now, services().catalogue)
    data = candidate_data(_key(now), _words(now), figure, on.studio.appearance(now))
    return {**data, "stems": stems_json(on.studio.scene, figure), "asked": query_of(now)}


def _form(now: Finish, problems: list[tuple[str, str]]) -> dict[str, Any]:
    """What stands in the fields."""
    catalogue, recipe = services().catalogue, now.own_tone
    labels = {"timber": _("Timber"), "topcoat": _("Topcoat"), "fabric": _("Backing")}
    second = list(catalogue.stain)[:2][-1]
    return {
        "choices": [
            {
                "kind": kind,
                "label": labels[kind],
                "options": list(catalogue.entries(kind)),
                "value": getattr(now, kind) or catalogue.default(kind),
            }
            for kind in KINDS
        ],
        "coats": now.coats,
        "most_coats": MOST_COATS,
        "between": [(value, value == now.between_coats) for value in BETWEEN],
        "samples": list(catalogue.sample),
        "sample": now.sample,
        "own": recipe is not None,
        "tones": list(catalogue.stain),
        "recipe": recipe.model_dump()
        if recipe
        else {
            "first": now.stain or catalogue.default("stain"),
            "first_parts": 2,
            "second": second,
            "second_parts": 1,
        },
        "problems": problems,
    }


def _reading(on: Opened, one: Finish) -> dict[str, Any]:
    """What stands beside the view: band, exact colours, quantities, price, and why they moved."""
    seen, found = on.studio.appearance(one), needed(on, one)
    was = chosen_finish(on.job)
    timber = services().catalogue.named("timber", one.timber)
    return {
        "words": _words(one),
        "query": query_of(one),
        "state": band(seen, lamp("D65")).words,
        "band": url_for("finish_page.band_of", **query_of(one)),
        "swatches": [
            {"name": _("slat"), "srgb_hex": unlit_hex(seen, "slat_front")},
            {"name": _("backing"), "srgb_hex": unlit_hex(seen, "fabric")},
        ],
        "warnings": seen.warnings,
        "ageing": timber.ageing,
        "rows": [*quantity_rows(answer_of(found, _words(one))), price_row(found)],
        "moved": why_moved(needed(on, was), found) if one != was else (),
        "kept": one == was,
    }


def _tones(now: Finish) -> list[dict[str, Any]]:
    """Every tone of the catalogue in place of the present one."""
    catalogue, daylight = services().catalogue, lamp("D65")
    chosen_lab = band(appearance(now, catalogue), daylight).mean_lab
    now_tone = None if now.own_tone else now.stain or catalogue.default("stain")
    found = []
    for tone in catalogue.stain:
        one = now.model_copy(update={"stain": tone, "own_tone": None, "name": ""})
        shown = band(appearance(one, catalogue), daylight)
        difference = float(ciede2000(shown.mean_lab, chosen_lab))
        found.append(
            {
                "name": tone,
                "band": url_for("finish_page.band_of", **query_of(one)),
                "words": shown.words,
                "difference": "" if tone == now_tone else _compared(difference),
                "checked": tone == now_tone,
            }
        )
    return found


def _compared(difference: float) -> str:
    """How a tone and the chosen one compare: words for the client, CIEDE2000 for the maker."""
    words = next(words for limit, words in BANDS if difference < limit)
    return f"{words} ({difference:.0f})"
