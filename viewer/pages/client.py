"""What a client sees: one offer, on the maker's own screen or by its link, and nothing else.

The same views answer under ``/offers/<id>/client/`` for the maker and ``/link/<token>/`` for the client. A
token that opens nothing answers 404 like any address that does not exist, and is counted.
"""

from typing import Any

from flask import Blueprint, Response, abort, g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from finishes.lamps import lamp
from meshes.light.lamps import Lighting
from viewer.answers.glb import glb_answer
from viewer.clock import utc_now
from viewer.figure import figure_of
from viewer.limits import Limiter
from viewer.log import event
from viewer.pages.bands import band_png
from viewer.pages.client_view import client_page
from viewer.pages.offer_file import offer_file
from viewer.pages.offer_forms import filled
from viewer.pages.offer_paper import sheet_pdf
from viewer.pages.offered import Offered, offered
from viewer.pages.opened import chosen, kept
from viewer.pages.orbit_figure import figure_bytes
from viewer.pages.orbit_light import light_bytes
from viewer.pages.places import number_below
from viewer.pages.signing import sign
from viewer.services import services
from viewer.sheets.paper import PaperName
from viewer.signoff.offer import Offer
from viewer.store.jobs import moment
from viewer.store.offers import OfferUnknownError, Remark
from viewer.store.records import AlreadySignedError

wrong_links = Limiter(name="link", count=30, per_s=600)
remarks_sent = Limiter(name="remark", count=30, per_s=600)
costly = Limiter(name="costly", count=60, per_s=600)
"""What takes a client's link seconds of this machine: signing, the sheet, the offer as one file."""
COSTLY = frozenset({"signing", "sheet", "file"})
LONGEST_REMARK = 2000


def _take(_endpoint: str | None, values: dict[str, Any] | None) -> None:
    """The offer's id or token leaves the address before any view sees it."""
    values = values if values is not None else {}
    g.place = {name: values.pop(name) for name in ("offer_id", "token") if name in values}


def _find() -> None:
    store = services().store
    try:
        if "token" in g.place:
            stored = store.offers.by_token(g.place["token"])
            family = "link"
        else:
            stored = store.offers.get(g.place["offer_id"])
            family = "client"
    except OfferUnknownError:
        # only what opens nothing is held back: nobody can lock a client out by guessing
        if family_of() == "link" and not wrong_links.take():
            abort(429)
        event("link_refused")
        abort(404)
    if family == "link" and not Offer.model_validate(stored.document).pictures:
        abort(404)
    if family == "link" and (request.endpoint or "").rpartition(".")[2] in COSTLY and not costly.take():
        abort(429)
    g.offered = offered(stored, family=family, place=g.place)


def family_of() -> str:
    """Whether a request came by a link or from the maker's own pages."""
    return "link" if "token" in g.place else "client"


def _on() -> Offered:
    found: Offered = g.offered
    return found


def _no_referrer(response: Response) -> Response:
    response.headers["Referrer-Policy"] = "no-referrer"
    response.headers["X-Robots-Tag"] = "noindex"
    return response


def page(problems: Any = (), status: int = 200) -> tuple[str, int]:
    """The offer, to look at, remark on and sign."""
    return render_template(
        "signoff_client.html", page=client_page(_on(), problems=problems, form=request.form)
    ), status


def signing() -> AnyResponse | tuple[str, int]:
    """Sign the offer; 422 with every problem, 409 when it cannot be signed any more."""
    on = _on()
    if on.state != "open" or not on.complete:
        return page(status=409)
    try:
        entry, problems = sign(on, filled(request.form, on))
    except AlreadySignedError:
        g.offered = offered(services().store.offers.get(on.stored.id), family=on.family, place=on.place)
        return page(status=409)
    if entry is None:
        return page(problems, 422)
    return redirect(url_for(f"{on.family}.page", **on.place))


def remark() -> AnyResponse | tuple[str, int]:
    """Keep a comment at a place in a picture, or the wish for a change."""
    on = _on()
    if on.state == "withdrawn":
        return page(status=409)
    said = " ".join(request.form.get("words", "").split())
    if not 1 <= len(said) <= LONGEST_REMARK:
        return page([("words", f"expected 1 to {LONGEST_REMARK} characters")], 422)
    if not remarks_sent.take():
        abort(429)
    picture = number_below(request.form.get("picture", ""), len(on.offer.pictures))
    x, y = (request.form.get(name, "") for name in ("x", "y"))
    shares = _shares(x, y) if picture is not None and x and y else None
    services().store.offers.remark(
        on.stored.id,
        Remark(
            kind="change" if request.form.get("kind") == "change" else "comment",
            words=said,
            at=moment(utc_now()),
            picture=picture if shares else None,
            x=shares[0] if shares else None,
            y=shares[1] if shares else None,
        ),
    )
    return redirect(url_for(f"{on.family}.page", **on.place) + "#remarks")


def _shares(x: str, y: str) -> tuple[float, float] | None:
    try:
        shares = float(x), float(y)
    except ValueError:
        return None
    return shares if all(0 <= share <= 1 for share in shares) else None


def picture(number: int) -> Response:
    """One still of the offer, as it stands in the record."""
    try:
        found = services().store.offers.picture(_on().stored.id, number)
    except OfferUnknownError:
        abort(404)
    return kept(found.data, found.media_type)


def still() -> Response:
    """The still of a finish, a lighting and a view."""
    on = _on()
    finish, lighting = chosen("finish", len(on.finishes)), chosen("lighting", len(on.lightings))
    view = request.args.get("view", "front")
    views = on.offer.views
    place = (finish * len(on.lightings) + lighting) * len(views) + (views.index(view) if view in views else 0)
    return picture(place)


def mesh() -> Response:
    """The wall and its room, the offered finishes as variants."""
    on = _on()
    job = on.job.model_copy(
        update={"finishes": tuple(finish for _label, finish in on.finishes), "lightings": on.lightings}
    )
    return kept(glb_answer(job, services().catalogue), "model/gltf-binary")


def figure() -> Response:
    """The stems of every offered finish."""
    on = _on()
    figures = [figure_of(one, services().catalogue) for _label, one in on.finishes]
    return kept(figure_bytes(on.studio.scene, figures), "application/octet-stream")


def light(number: int) -> Response:
    """The light of one offered lighting."""
    on = _on()
    if number >= len(on.lightings):
        abort(404)
    one: Lighting = on.lightings[number]
    data = light_bytes(on.studio, one)
    return kept(data, "application/octet-stream")


def band(number: int) -> Response:
    """The band of one offered finish, in even daylight."""
    on = _on()
    if number >= len(on.finishes):
        abort(404)
    finish = on.finishes[number][1]
    drawn = figure_of(finish, services().catalogue)
    return kept(band_png(on.studio.appearance(finish), drawn, lamp("D65")), "image/png")


def sheet() -> Response:
    """The sign-off sheet; ``?paper=letter`` for Letter."""
    on = _on()
    if not on.complete:
        abort(404)
    paper: PaperName = "Letter" if request.args.get("paper") == "letter" else "A4"
    response = Response(sheet_pdf(on, paper), mimetype="application/pdf")
    response.headers["Content-Disposition"] = 'inline; filename="sign-off.pdf"'
    return response


def file() -> Response:
    """The offer as one file for e-mail, which asks nobody for anything."""
    on = _on()
    if not on.complete:
        abort(404)
    response = Response(offer_file(on), mimetype="text/html")
    response.headers["Content-Disposition"] = 'attachment; filename="offer.html"'
    return response


def record() -> Response:
    """The record of the job as one file; once the offer is signed."""
    on = _on()
    if on.stored.signed_place is None:
        abort(404)
    data = services().store.records.export(on.stored.job_id)
    response = Response(data, mimetype="application/json")
    response.headers["Content-Disposition"] = 'attachment; filename="record.json"'
    return response


def blueprint_of(family: str, prefix: str) -> Blueprint:
    """The client's views under one prefix."""
    made = Blueprint(family, __name__, url_prefix=prefix)
    made.url_value_preprocessor(_take)
    made.before_request(_find)
    made.after_request(_no_referrer)
    for rule, view in (
        ("/", page),
        ("/pictures/<int:number>.jpg", picture),
        ("/still", still),
        ("/wall.glb", mesh),
        ("/figure.bin", figure),
        ("/light/<int:number>.bin", light),
        ("/bands/<int:number>.png", band),
        ("/sheet.pdf", sheet),
        ("/offer.html", file),
        ("/record.json", record),
    ):
        made.get(rule)(view)
    made.post("/sign")(signing)
    made.post("/remarks")(remark)
    return made


client = blueprint_of("client", "/offers/<offer_id>/client")
link = blueprint_of("link", "/link/<token>")
