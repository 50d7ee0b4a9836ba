"""The board: finishes side by side under each lighting; the maker sees all, the client what is ticked."""

import datetime
from dataclasses import dataclass
from gettext import gettext as _
from gettext import ngettext
from typing import Any

from flask import Blueprint, Response, abort, render_template, request, url_for

from finishes.schedule import schedule
from viewer.answers.quantities import Quantities
from viewer.frame import Frame
from viewer.local_time import today, zone_name
from viewer.pages.comparing import compared
from viewer.pages.job_view import finish_words, script_json
from viewer.pages.matters import chosen_paper
from viewer.pages.needed import needed, price_row
from viewer.pages.opened import Opened, chosen_view, first_entries, opened, view_choice
from viewer.pages.ordering import LONGEST_WAIT_S
from viewer.pages.places import number_below
from viewer.services import services
from viewer.sheets.board_sheet import BoardSheet, board_sheet
from viewer.sheets.paper import PAPER_SIZES, stamp_of
from viewer.stills_service import TooManyError
from viewer.stills_worker import StillOrder

FIRST_SHOWN = 3
MOST_LIGHTINGS = 4
SIDE_BY_SIDE = 6
"""More finishes than this stand in rows instead of one column each."""
FRAME = (640, 427)

blueprint = Blueprint("board_page", __name__, url_prefix="/jobs/<name>")


def columns() -> dict[str, str]:
    """What can stand beside the pictures; the client sees what is ticked of it."""
    return {
        "coats": _("Coats"),
        "stain": _("Stain, l"),
        "topcoat": _("Topcoat, l"),
        "fabric": _("Fabric, m"),
        "price": _("Price"),
        "day": _("Earliest day to fit"),
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What the query asks for: places of finishes and lightings, whose view it is, what the client sees."""

    finishes: tuple[int, ...]
    lightings: tuple[int, ...]
    view: str
    client: bool
    ticked: tuple[str, ...]
    start: datetime.date
    problems: tuple[tuple[str, str], ...]

    @property
    def columns(self) -> tuple[str, ...]:
        return self.ticked if self.client else tuple(columns())

    def query(self, **changed: Any) -> dict[str, Any]:
        """The query that asks for the same."""
        return {
            "finish": self.finishes,
            "lighting": self.lightings,
            "view": self.view,
            "tick": self.ticked,
            "start": self.start.isoformat(),
            "for": "client" if self.client else "maker",
            **changed,
        }


def asked(on: Opened) -> Asked:
    """The query of the present request, with the first finishes and lightings where it names none."""
    problems = []
    start = today()
    if given := request.args.get("start", ""):
        try:
            start = datetime.date.fromisoformat(given)
        except ValueError:
            problems.append(("start", _("expected a day as year-month-day")))
    return Asked(
        finishes=_places("finish", len(on.finishes)) or tuple(range(min(FIRST_SHOWN, len(on.finishes)))),
        lightings=(_places("lighting", len(on.lightings)) or tuple(range(len(on.lightings))))[
            :MOST_LIGHTINGS
        ],
        view=chosen_view(walls=on.walls),
        client=request.args.get("for") == "client",
        ticked=tuple(key for key in (*columns(), "number") if key in request.args.getlist("tick")),
        start=start,
        problems=tuple(problems),
    )


def _places(argument: str, count: int) -> tuple[int, ...]:
    given = {number_below(one, count) for one in request.args.getlist(argument)}
    return tuple(sorted(place for place in given if place is not None))


@blueprint.get("/board")
def board(name: str) -> str:
    """Finishes under lightings, turned together."""
    on = opened(name)
    want = asked(on)
    rows = _rows(on, want)
    head = on.heading("board_page.board")
    if want.client:
        head["trail"] = []
    page = {
        **head,
        "client": want.client,
        "views": view_choice(want.view, on.walls),
        "offered_finishes": [
            (str(n), label, n in want.finishes) for n, (label, _one) in enumerate(on.finishes)
        ],
        "offered_lightings": [(str(n), one.name, n in want.lightings) for n, one in enumerate(on.lightings)],
        "ticks": [(key, words, key in want.ticked) for key, words in _tickable().items()],
        "start": request.args.get("start", want.start.isoformat()),
        "zone": zone_name(),
        "problems": want.problems,
        "in_rows": len(want.finishes) > SIDE_BY_SIDE,
        "lightings": len(want.lightings),
        "cells": [
            {
                "finish": finish,
                "lighting": lighting,
                "name": on.finishes[finish][0],
                "light": on.lightings[lighting].name,
                "state": on.studio.appearance(on.finishes[finish][1]).state,
                "still": on.still(finish=finish, lighting=lighting, view=want.view, width=480),
            }
            for finish in want.finishes
            for lighting in want.lightings
        ],
        "columns": [(key, words) for key, words in columns().items() if key in want.columns],
        "rows": rows,
        "pairs": compared(on, want.finishes),
        "numbers": not want.client or "number" in want.ticked,
        "other_view": url_for(
            "board_page.board", name=name, **want.query(**{"for": "maker" if want.client else "client"})
        ),
        "papers": [
            (paper, url_for("board_page.pdf", name=name, paper=paper, **want.query()))
            for paper in PAPER_SIZES
        ],
        "orbit": script_json(on.orbit()),
    }
    return render_template("board.html", page=page)


@blueprint.get("/board.pdf")
def pdf(name: str) -> Response:
    """The same on paper, with what this view shows."""
    on = opened(name)
    want = asked(on)
    shown = [on.finishes[place] for place in want.finishes]
    document = {
        **on.document,
        "finishes": [
            one.model_copy(update={"name": label}).model_dump(mode="json", exclude_defaults=True)
            for label, one in shown
        ],
        "lightings": [on.lightings[place].model_dump(mode="json") for place in want.lightings],
    }
    frame = Frame(view=want.view, width=FRAME[0], height=FRAME[1])
    try:
        made = services().stills.picture(
            StillOrder(document=document, frame=frame, ending=".jpg", board=True), LONGEST_WAIT_S
        )
    except TooManyError:
        abort(503)
    if made.data is None:
        abort(503)
    rows = _rows(on, want)
    heads = columns()
    numbers = not want.client or "number" in want.ticked
    book = board_sheet(
        BoardSheet(
            stamp=stamp_of(on.job, on.document),
            paper=chosen_paper(),
            picture=made.data,
            columns=tuple(heads[key] for key in want.columns),
            rows=tuple(
                (row["name"], f"{row['make']}. {row['state']}.", *(row[key] for key in want.columns))
                for row in rows
            ),
            differences=tuple(
                f"{pair['sentence']} ({pair['number']})" if numbers else pair["sentence"]
                for pair in compared(on, want.finishes)
            ),
        )
    )
    response = Response(book, mimetype="application/pdf")
    response.headers["Content-Disposition"] = 'inline; filename="board.pdf"'
    return response


def _tickable() -> dict[str, str]:
    return {**columns(), "number": _("Numbers of the differences")}


def _rows(on: Opened, want: Asked) -> list[dict[str, Any]]:
    """What each finish takes."""
    names, rows = first_entries(), []
    for place in want.finishes:
        label, one = on.finishes[place]
        found = needed(on, one)
        coverage, price = found.coverage, price_row(found)
        day = schedule(
            one,
            services().catalogue,
            start=want.start,
            zone_name=zone_name(),
            area_m2=_coated_m2(found),
        ).fit_on.isoformat()
        rows.append(
            {
                "name": label,
                "make": finish_words(one, names),
                "state": on.studio.appearance(one).state,
                "coats": str(coverage.coats),
                "stain": f"{coverage.stain.to_buy_l.likely:.1f}" if coverage.stain else "–",
                "topcoat": f"{coverage.topcoat.to_buy_l.likely:.1f}" if coverage.topcoat else "–",
                "fabric": f"{found.fabric.metres:.1f}" if found.fabric else "–",
                "price": f"{price.amount} {price.unit}".strip(),
                "why": "" if want.client or price.amount != "–" else _missing(found),
                "day": day,
            }
        )
    return rows


def _missing(found: Quantities) -> str:
    """How many prices are missing; the finish page names them."""
    priced = found.priced
    if priced is None or priced.estimate.prices is None:
        return ""
    count = len(priced.estimate.missing)
    return ngettext("{count} price missing", "{count} prices missing", count).format(count=count)


def _coated_m2(found: Quantities) -> float:
    """Area of one coat: what the schedule multiplies by the coats."""
    product = found.coverage.stain or found.coverage.topcoat
    return sum(line.area_m2 for line in product.lines if line.coat == 1) if product else 0.0
