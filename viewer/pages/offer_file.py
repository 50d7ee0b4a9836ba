"""The offer as one file for e-mail: turning view, stills, drawing, lines and the sheet; it asks nobody.

The file's own policy allows nothing but what is inside it: style and script by their hashes, no network.
"""

import base64
import hashlib
from collections.abc import Sequence
from typing import Any

from flask import render_template
from markupsafe import Markup
from werkzeug.datastructures import MultiDict

from meshes.light.lamps import Lighting
from viewer.drawings.elevation import elevation
from viewer.offline_view import OfflineView, offline_view
from viewer.pages.client_view import client_page
from viewer.pages.job_view import LEVELS_MM
from viewer.pages.offer_copies import copy_of
from viewer.pages.offer_paper import sheet_pdf
from viewer.pages.offered import Offered, data_uri
from viewer.pages.static_files import STATIC
from viewer.pages.ways import wall_heading
from viewer.services import services

DRAWING_MM = LEVELS_MM["medium"]
STYLE = STATIC / "css" / "offer_file.css"
STILL_PX, STILL_QUALITY = 1080, 78
MOST_BYTES = 6_000_000
"""A mail with it stays under the 10 MB that mail servers commonly take, base64 included (common practice)."""


def offer_file(on: Offered) -> str:
    """The HTML of the file."""
    offers = services().store.offers
    page: dict[str, Any] = client_page(on, problems=(), form=MultiDict())
    pictures = []
    for number, picture in enumerate(on.offer.pictures):
        kept = copy_of(offers.picture(on.stored.id, number).data, width=STILL_PX, quality=STILL_QUALITY)
        words = page["pictures"][number]["words"]
        pictures.append({"src": data_uri(kept, "image/jpeg"), "words": words, "finish": picture.finish})
    width, height = DRAWING_MM
    walls = list(zip(on.studio.scene.set_outs, on.job.zones_by_wall, strict=True))
    drawn = [
        (
            wall_heading(number, len(walls)),
            Markup(elevation(one, zones=zones, width_mm=width, height_mm=height)),
        )
        for number, (one, zones) in enumerate(walls, start=1)
    ]
    sheet = data_uri(sheet_pdf(on, "A4"), "application/pdf")
    room = MOST_BYTES - len(sheet) - sum(len(picture["src"]) for picture in pictures)
    view = _view(on, page, pictures[0]["src"], room)
    style = Markup(STYLE.read_text(encoding="utf-8"))
    return render_template(
        "signoff_file.html",
        page=page,
        pictures=pictures,
        drawn=drawn,
        sheet=sheet,
        view=view.html,
        style=style,
        policy=_policy(style, view.policy),
    )


def _view(on: Offered, page: dict[str, Any], still: str, room: int) -> OfflineView:
    """The turning view under as many lightings as there is room for; stills show every one of them."""
    view = _under(on, page, still, on.lightings)
    if view.size > room and len(on.lightings) > 1:
        fit = max(1, min(len(on.lightings) - 1, len(on.lightings) * room // view.size))
        view = _under(on, page, still, on.lightings[:fit])
    return view


def _under(on: Offered, page: dict[str, Any], still: str, lightings: Sequence[Lighting]) -> OfflineView:
    shown = {
        **page,
        "lightings": page["lightings"][: len(lightings)],
        "still": {"src": still, "words": page["still"]["words"]},
    }
    return offline_view(
        studio=on.studio, orbit=on.orbit(), lightings=lightings, candidates=on.finishes, page=shown
    )


def _policy(style: str, scripts: str) -> str:
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    allowed = ("default-src 'none'", "base-uri 'none'", "form-action 'none'", "img-src data:")
    return "; ".join((*allowed, f"style-src 'sha256-{digest}'", scripts))
