"""The job page. A view gathers what the page shows and renders it."""

from typing import Any

from flask import Blueprint, render_template, url_for

from viewer.answers.take_off import take_off_answer
from viewer.pages import words
from viewer.pages.job_view import drawings, finish_view, rod_marks, script_json, set_out_rows
from viewer.pages.opened import (
    Opened,
    chosen,
    chosen_view,
    first_entries,
    opened,
    view_choice,
    wanted_things,
)
from viewer.pages.quantities import quantity_rows
from viewer.pages.standing import standing_view
from viewer.pages.ways import wall_heading
from viewer.services import services
from viewer.things import things_in

blueprint = Blueprint("job_pages", __name__)


def taken(on: Opened) -> list[dict[str, Any]]:
    """The take-off of every candidate."""
    known = services()
    return [
        take_off_answer(on.job, one, label, known.catalogue, better=known.cuttings.best)
        for label, one in on.finishes
    ]


@blueprint.get("/jobs/<name>/")
def job(name: str) -> str:
    """The job page."""
    on = opened(name)
    finish, lighting = chosen("finish", len(on.finishes)), chosen("lighting", len(on.lightings))
    view, names, things = chosen_view(walls=on.walls), first_entries(), wanted_things()
    walls = on.studio.scene.set_outs
    wall = chosen("wall", len(walls))
    set_out, zones = walls[wall], on.job.zones_by_wall[wall]
    state = on.studio.appearance(on.finishes[finish][1]).state
    page = {
        **on.heading("job_pages.job"),
        "address": url_for("job_pages.job", name=name),
        "still": {
            "src": on.still(finish=finish, lighting=lighting, view=view, **{"with": things}),
            "words": words.foot(on.finishes[finish][0], on.lightings[lighting].name, state),
        },
        "views": view_choice(view, on.walls),
        "things": [
            {"key": one, "name": words.thing_names()[one], "checked": one in things}
            for one in things_in(on.job)
        ],
        "lightings": [
            {"key": str(number), "name": one.name, "checked": number == lighting}
            for number, one in enumerate(on.lightings)
        ],
        "finishes": [
            finish_view(
                str(number),
                label,
                one,
                on.studio.appearance(one),
                names,
                band=on.address("band", number=number),
                checked=number == finish,
                rows=quantity_rows(answer),
            )
            for number, ((label, one), answer) in enumerate(zip(on.finishes, taken(on), strict=True))
        ],
        "set_out": set_out_rows(set_out),
        "wall": wall,
        "walls": [wall_heading(number, len(walls)) for number in range(1, len(walls) + 1)],
        "warnings": [
            said if len(walls) == 1 else f"{wall_heading(number, len(walls))}: {said}"
            for number, one in enumerate(walls, start=1)
            for said in one.warnings
        ],
        "marks": rod_marks(set_out),
        "rod_length_mm": float(set_out.wall_width if set_out.run == "upright" else set_out.wall_height),
        "orbit": script_json(on.orbit()),
        **drawings(set_out, zones),
    }
    page["standing"] = standing_view(name, on.job, walls)
    return render_template("job.html", page=page)
