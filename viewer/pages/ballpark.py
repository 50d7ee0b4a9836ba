"""A first figure from four numbers, before any job exists: a range, and no offer."""

from gettext import gettext as _

from flask import Blueprint, render_template, request

from viewer.answers.ballpark import ballpark_answer
from viewer.estimate.prices import TIMBER_CLASSES
from viewer.services import services

blueprint = Blueprint("ballpark", __name__)


@blueprint.get("/ballpark")
def ballpark() -> str:
    """The form, and the range once its fields are filled in."""
    given = request.args.to_dict()
    answer, problems = ballpark_answer(given, services().prices) if given else (None, ())
    words = {"softwood": _("softwood"), "hardwood": _("hardwood"), "board": _("veneered board")}
    page = {
        "name": _("Ballpark"),
        "fields": [
            ("length", _("Length of the wall"), _("m"), given.get("length", "")),
            ("height", _("Height of the wall"), _("m"), given.get("height", "")),
            ("openings", _("Sockets, switches and other openings"), "", given.get("openings", "")),
        ],
        "classes": [(one, words.get(one, one), one == given.get("timber")) for one in TIMBER_CLASSES],
        "problems": {field: [text for at, text in problems if at == field] for field, _text in problems},
        "answer": answer,
        "prices": services().prices is not None,
    }
    return render_template("ballpark.html", page=page)
