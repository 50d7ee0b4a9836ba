"""The maker's side of sign-off: the offers of a job, and one offer with its link and remarks."""

import datetime
from typing import Any

from flask import Blueprint, Response, abort, jsonify, redirect, render_template, request, url_for
from markupsafe import Markup
from werkzeug.wrappers import Response as AnyResponse

from viewer.answers.take_off import take_off_answer
from viewer.clock import utc_now
from viewer.job.choices import chosen_finish, finish_label
from viewer.local_time import local_day, today
from viewer.pages.client_view import picture_words
from viewer.pages.codes import qr_svg
from viewer.pages.offer_forms import filled, wish
from viewer.pages.offer_pictures import gather
from viewer.pages.offered import Offered, offered
from viewer.pages.opened import kept_job, opened
from viewer.pages.record_words import stage_rows
from viewer.pages.signing import sign
from viewer.pages.standing import standing_view
from viewer.services import services
from viewer.signoff.agreed import Tolerances
from viewer.signoff.keys import fingerprint
from viewer.signoff.lines import default_lines
from viewer.signoff.making import MOST_FINISHES, offer_of
from viewer.signoff.sections import plain
from viewer.signoff.standing import superseding
from viewer.store.jobs import JobUnknownError, moment
from viewer.store.offers import OfferUnknownError
from viewer.store.records import AlreadySignedError
from viewer.uploads import MOST_PHOTO_BYTES

OFFER_LASTS_DAYS = 30
END_OF_DAY = "T23:59:59.999999Z"

blueprint = Blueprint("offers", __name__)


def _store_job(name: str) -> Any:
    """The kept job; the built-in one is kept on the way. 404 for one that is not there."""
    store = services().store
    if name == "demo":
        return store.jobs.keep_as("demo", services().demo.document)
    try:
        return store.jobs.get(name)
    except JobUnknownError:
        abort(404)


def offer_here(offer_id: str) -> Offered:
    """The maker's own view of an offer; 404 for one that is not there."""
    try:
        stored = services().store.offers.get(offer_id)
    except OfferUnknownError:
        abort(404)
    return offered(stored, family="client", place={"offer_id": offer_id})


@blueprint.get("/jobs/<name>/offers")
def offers(name: str, problems: Any = (), typed: Any = None) -> str:
    """Every offer of a job, its record, and the form for another offer."""
    on, store = opened(name), services().store
    day = today()
    now = f"{day}T00:00:00"
    kept = store.offers.of_job(name)
    page = {
        **on.heading("offers.offers"),
        "standing": standing_view(name, on.job, on.studio.scene.set_outs),
        "stages": stage_rows(store.records.entries(name), store.records.personal(name)),
        "offers": [
            {
                "address": url_for("offers.offer", offer_id=one.id),
                "made": local_day(one.made_at),
                "finishes": ", ".join(one.document["finishes"]),
                "expires": one.expires_at[:10],
                "state": one.state(now),
                "remarks": len(store.offers.remarks(one.id)),
            }
            for one in kept
        ],
        "finishes": [label for label, _finish in on.finishes],
        "most_finishes": MOST_FINISHES,
        "lightings": [lighting.name for lighting in on.lightings],
        "lines": default_lines(),
        "tolerances": {key: f"{float(value):g}" for key, value in Tolerances()},
        "price": _price(on),
        "expires": (day + datetime.timedelta(days=OFFER_LASTS_DAYS)).isoformat(),
        "today": day.isoformat(),
        "last": (day + datetime.timedelta(days=366)).isoformat(),
        "problems": problems,
        "typed": typed,
        "address": url_for("offers.offers", name=name),
        "stage_address": url_for("stages.add", name=name),
        "erase_address": url_for("stages.erase", name=name),
        "record": url_for("stages.record", name=name) if store.records.entries(name) else None,
        "fingerprint": fingerprint(store.records.signer.public),
    }
    return render_template("signoff_offers.html", page=page)


def _price(on: Any) -> dict[str, str]:
    """Amount and currency of the estimate for the chosen finish; empty where prices are missing."""
    prices = services().prices
    if prices is None:
        return {"amount": "", "currency": "EUR"}
    finish = chosen_finish(on.job)
    known = services()
    answer = take_off_answer(
        on.job, finish, finish_label(finish, 0), known.catalogue, prices, known.cuttings.best
    )
    total = answer["price"]["total"]
    return {"amount": "" if total is None else str(total), "currency": prices.currency}


@blueprint.post("/jobs/<name>/offers")
def make(name: str) -> AnyResponse | tuple[str, int]:
    """A new offer from the job as it is now."""
    _store_job(name)
    on = opened(name)
    found = kept_job(name)
    assert found is not None
    store = services().store
    typed = wish(request.form)
    offer, problems = offer_of(
        typed,
        job_digest=store.jobs.keep_version(name, found.document),
        known_finishes=[label for label, _finish in on.finishes],
        known_lightings=[lighting.name for lighting in on.lightings],
        walls=on.walls,
        today=today(),
    )
    if offer is None:
        return offers(name, problems, request.form), 422
    stored = store.offers.add(name, plain(offer), expires_at=f"{offer.expires}{END_OF_DAY}")
    return redirect(url_for("offers.offer", offer_id=stored.id))


@blueprint.get("/offers/<offer_id>/")
def offer(offer_id: str, token: str = "", problems: Any = ()) -> str:
    """One offer: its pictures, link, remarks, and what can be done with it."""
    on = offer_here(offer_id)
    progress = gather(on)
    on = offer_here(offer_id)
    store = services().store
    public = services().settings.public_url
    link = f"{public}{url_for('link.page', token=token)}" if token and public else ""
    remarks = store.offers.remarks(offer_id)
    page = {
        "name": on.job.name,
        "id": offer_id,
        "offer": on.offer,
        "state": on.state,
        "complete": on.complete,
        "progress": progress,
        "made": local_day(on.stored.made_at),
        "expires": on.stored.expires_at[:10],
        "job_address": url_for("offers.offers", name=on.stored.job_id),
        "show": url_for("client.page", offer_id=offer_id),
        "sheet": url_for("client.sheet", offer_id=offer_id),
        "file": url_for("client.file", offer_id=offer_id),
        "public": public,
        "has_link": on.stored.has_link,
        "link": link,
        "qr": Markup(qr_svg(link)) if link else "",
        "pictures": [
            {"src": on.address("picture", number=number), "words": picture_words(on.offer, number)}
            for number in range(len(on.offer.pictures))
        ],
        "mail": services().settings.smtp_host is not None,
        "sent": "sent" in request.args,
        "remarks": [(remark, _where(on, remark.picture)) for remark in remarks],
        "problems": problems,
        "today": today().isoformat(),
        "typed": request.form if problems else None,
    }
    return render_template("signoff_offer.html", page=page)


def _where(on: Offered, number: int | None) -> str:
    if number is None or not 0 <= number < len(on.offer.pictures):
        return ""
    return picture_words(on.offer, number)


@blueprint.get("/offers/<offer_id>/state")
def state(offer_id: str) -> Response:
    """How far the pictures of an offer are."""
    progress = gather(offer_here(offer_id))
    return jsonify(
        {
            "done": progress.done,
            "wanted": progress.wanted,
            "left_s": progress.left_s,
            "fault": progress.fault,
            "words": progress.words,
        }
    )


@blueprint.post("/offers/<offer_id>/link")
def new_link(offer_id: str) -> str:
    """A fresh link, shown this once; only where clients can reach the program."""
    on = offer_here(offer_id)
    if services().settings.public_url is None or not on.complete or on.state != "open":
        abort(409)
    return offer(offer_id, token=services().store.offers.new_link(offer_id))


@blueprint.post("/offers/<offer_id>/link/end")
def end_link(offer_id: str) -> AnyResponse:
    """The link stops working; the offer stays."""
    offer_here(offer_id)
    services().store.offers.end_link(offer_id)
    return redirect(url_for("offers.offer", offer_id=offer_id))


@blueprint.post("/offers/<offer_id>/withdraw")
def withdraw(offer_id: str) -> AnyResponse:
    """Take an unsigned offer back; the record says so beside the offer's own entry."""
    on, store = offer_here(offer_id), services().store
    store.offers.withdraw(offer_id)
    if offer_here(offer_id).state == "withdrawn":
        entries = store.records.entries(on.stored.job_id)
        of_it = [one for one in entries if one.stage == "offer" and one.sections["offer"] == plain(on.offer)]
        alive = [one.place for one in of_it if superseding(entries, one) is None]
        if alive:
            store.records.append(
                on.stored.job_id,
                stage="withdrawn",
                at=moment(utc_now()),
                sections={"noted": {"words": ", ".join(on.offer.finishes)}},
                supersedes=alive[0],
            )
    return redirect(url_for("offers.offer", offer_id=offer_id))


@blueprint.post("/offers/<offer_id>/paper")
def paper(offer_id: str) -> AnyResponse | tuple[str, int]:
    """The printed sheet, signed and photographed: it counts as a signature."""
    on = offer_here(offer_id)
    request.max_content_length = MOST_PHOTO_BYTES + 500_000
    sheet = request.files.get("paper")
    data = sheet.read() if sheet else b""
    given = filled(request.form, on, paper=data)
    if not data:
        return offer(offer_id, problems=[("paper", "expected a photo of the signed sheet")]), 422
    if not on.complete or on.state != "open":
        abort(409)
    try:
        _entry, problems = sign(on, given)
    except AlreadySignedError:
        abort(409)
    if problems:
        return offer(offer_id, problems=problems), 422
    return redirect(url_for("offers.offer", offer_id=offer_id))
