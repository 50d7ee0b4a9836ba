"""The offer as one file for e-mail: stills, drawing, measures, lines and the sheet; it asks nobody.

The file's own policy allows nothing but what is inside it. The turning view is not in it: light, mesh and
three.js would make it some 15 MB; stills under every lighting and view stand there instead.
"""

from typing import Any

from flask import render_template
from markupsafe import Markup
from werkzeug.datastructures import MultiDict

from viewer.drawings.elevation import elevation
from viewer.pages.client_view import client_page
from viewer.pages.job_view import LEVELS_MM
from viewer.pages.offer_paper import sheet_pdf
from viewer.pages.offered import Offered, data_uri
from viewer.services import services

DRAWING_MM = LEVELS_MM["medium"]


def offer_file(on: Offered) -> str:
    """The HTML of the file."""
    offers = services().store.offers
    page: dict[str, Any] = client_page(on, problems=(), form=MultiDict())
    pictures = []
    for number, picture in enumerate(on.offer.pictures):
        kept = offers.picture(on.stored.id, number)
        words = page["pictures"][number]["words"]
        pictures.append(
            {"src": data_uri(kept.data, kept.media_type), "words": words, "finish": picture.finish}
        )
    width, height = DRAWING_MM
    drawn = [
        Markup(elevation(one, zones=zones, width_mm=width, height_mm=height))
        for one, zones in zip(
            on.studio.scene.set_outs,
            (on.job.zones, *(wall.zones for wall in on.job.next_walls)),
            strict=True,
        )
    ]
    sheet = data_uri(sheet_pdf(on, "A4"), "application/pdf")
    return render_template("signoff_file.html", page=page, pictures=pictures, drawn=drawn, sheet=sheet)
