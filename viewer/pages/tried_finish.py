"""A finish that is tried on: what a query or form asks for, and as the query that asks for it again."""

from gettext import gettext as _
from typing import Any

from flask import request

from finishes.choice import Finish, Recipe
from finishes.tone import UnmixableError, tone_of
from viewer.job.reading import Problem
from viewer.pages.places import number_below
from viewer.services import services

KINDS = ("timber", "topcoat", "fabric")
MOST_COATS = 6
MOST_PARTS = 1000
BETWEEN = ("wet on wet", "dried")


def is_asked() -> bool:
    """Whether the present request names a finish of its own."""
    return "timber" in request.values or "stain" in request.values


def asked(start: Finish) -> tuple[Finish, list[Problem]]:
    """The finish that the query or form asks for, and what is wrong with it.

    What it does not name, or names wrongly, stays as it was.
    """
    catalogue, given = services().catalogue, request.values
    values: dict[str, Any] = dict(start)
    problems: list[Problem] = []
    for kind in KINDS:
        name = given.get(kind)
        if name is not None and name in catalogue.entries(kind):
            values[kind] = name
    coats = number_below(given.get("coats", ""), MOST_COATS + 1)
    if coats is not None:
        values["coats"] = coats
    if given.get("between_coats") in BETWEEN:
        values["between_coats"] = given["between_coats"]
    if "sample" in given and (given["sample"] == "" or given["sample"] in catalogue.sample):
        values["sample"] = given["sample"]
        if given["sample"]:  # a finish has one measured colour
            values["off_cut"] = None
    if given.get("stain") in catalogue.stain:
        values["stain"], values["own_tone"] = given["stain"], None
    elif "stain" in given and "first" in given:
        recipe, problems = _recipe()
        values["own_tone"] = recipe or values["own_tone"]
    if values != dict(start):
        values["name"] = ""
    return Finish(**values), problems


def _recipe() -> tuple[Recipe | None, list[Problem]]:
    """The own tone of the form: two tones by parts of volume."""
    catalogue, given = services().catalogue, request.values
    problems: list[Problem] = []
    parts = {}
    for name in ("first_parts", "second_parts"):
        try:
            parts[name] = float(given.get(name, "1").replace(",", "."))
        except ValueError:
            parts[name] = 0.0
        if not 0 < parts[name] <= MOST_PARTS:
            problems.append(
                (name, _("expected parts of volume, more than 0, at most {most}").format(most=MOST_PARTS))
            )
    tones = {name: given.get(name, "") for name in ("first", "second")}
    problems += [
        (name, _("expected a tone of the catalogue")) for name in tones if tones[name] not in catalogue.stain
    ]
    if problems:
        return None, problems
    recipe = Recipe(**tones, **parts)
    try:
        tone_of(Finish(own_tone=recipe), catalogue)
    except UnmixableError:
        words = _("one of these lies in the wood and the other on it; expected two tones of the same kind")
        return None, [("second", words)]
    return recipe, []


def query_of(one: Finish) -> dict[str, Any]:
    """The query that asks for this finish."""
    catalogue = services().catalogue
    names = {kind: getattr(one, kind) or catalogue.default(kind) for kind in KINDS}
    query = {**names, "coats": one.coats, "between_coats": one.between_coats, "sample": one.sample}
    if one.own_tone is None:
        return {**query, "stain": one.stain or catalogue.default("stain")}
    return {**query, "stain": "", **one.own_tone.model_dump()}
