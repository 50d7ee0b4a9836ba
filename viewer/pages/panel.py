"""A panel's own page, which the code on its back opens: drawing, slats, cut-outs, fixing points."""

from typing import Any

from flask import Blueprint, abort, render_template, url_for
from markupsafe import Markup

from viewer.drawings.bench import bench_drawing
from viewer.drawings.figures import figure
from viewer.pages.matters import matter
from viewer.pages.opened import opened
from viewer.sheets.panel_sheets import cutout_rows, fixing_rows, head_rows, mark_heading, mark_rows

TALL_MM, WIDE_MM = 210.0, 180.0
"""Room of the drawing; a narrow panel takes no more width than it needs."""
TWO_PEOPLE_KG = 25
"""What one person carries (common practice)."""

blueprint = Blueprint("panel_page", __name__)


@blueprint.get("/jobs/<name>/panels/<int:wall>-<int:panel>")
def panel(name: str, wall: int, panel: int) -> str:
    """Wall and panel are counted from 1, as on the label."""
    on, about = opened(name), matter(name)
    places = [(number, one.index) for number, set_out in enumerate(about.set_outs) for one in set_out.panels]
    if (wall - 1, panel - 1) not in places:
        abort(404)
    set_out = about.set_outs[wall - 1]
    shown = set_out.panels[panel - 1]
    width = min(WIDE_MM, max(110.0, 40 + TALL_MM * float(shown.board.width / shown.board.height)))
    rows, bold = mark_rows(set_out, shown)
    heads = head_rows(set_out, shown)
    listed = [(*row, *head) for row, head in zip(rows, heads or [()] * len(rows), strict=True)]
    page: dict[str, Any] = {
        **on.heading("sheets_page.sheets"),
        "title": about.panel_name(wall - 1, panel - 1),
        "stamp": about.stamp.words,
        "board": f"{figure(shown.board.width)} × {figure(shown.board.height)}",
        "weight": f"{float(shown.weight_kg):.0f}",
        "two_people": shown.weight_kg > TWO_PEOPLE_KG,
        "removable": shown.removable,
        "loose": [slat + 1 for slat in shown.slats if set_out.slats[slat].loose],
        "drawing": Markup(bench_drawing(set_out, shown, width_mm=width, height_mm=TALL_MM)),
        "mark_heading": mark_heading(set_out, shown),
        "marks": [(row, number in bold) for number, row in enumerate(listed)],
        "heads": bool(heads),
        "cutouts": cutout_rows(about, wall - 1, shown),
        "fixings": fixing_rows(set_out, shown),
        "others": [
            (
                about.panel_name(number, index),
                url_for("panel_page.panel", name=name, wall=number + 1, panel=index + 1),
                (number, index) == (wall - 1, panel - 1),
            )
            for number, index in places
        ],
        "sheets": url_for("sheets_page.sheets", name=name, document="panels"),
    }
    return render_template("panel.html", page=page)
