"""An offer goes out by e-mail: as one file, or as a link where clients can reach the program."""

from gettext import gettext as _

from flask import Blueprint, abort, redirect, request, url_for
from werkzeug.wrappers import Response

from viewer.mail import Letter, MailError, address_of, send
from viewer.pages.offer_file import offer_file
from viewer.pages.offers import offer, offer_here
from viewer.services import services

LONGEST_WORDS = 2000

blueprint = Blueprint("mailing", __name__)


@blueprint.post("/offers/<offer_id>/mail")
def mail(offer_id: str) -> Response | tuple[str, int]:
    """Send the offer to one address; 422 with every problem, the mail server's included."""
    on, settings = offer_here(offer_id), services().settings
    if settings.smtp_host is None or not on.complete or on.state != "open":
        abort(409)
    to, words = address_of(request.form.get("to", "")), request.form.get("words", "").strip()
    by_link = request.form.get("way") == "link"
    problems = []
    if to is None:
        problems.append((_("To"), _("expected one e-mail address, such as client@home.example")))
    if len(words) > LONGEST_WORDS:
        problems.append((_("Words"), _("expected at most {most} characters").format(most=LONGEST_WORDS)))
    if by_link and settings.public_url is None:
        problems.append((_("Way"), _("links need SLATWRIGHT_PUBLIC_URL; send the file")))
    if problems or to is None:
        return offer(offer_id, problems=problems), 422
    if by_link:
        token = services().store.offers.new_link(offer_id)
        words = f"{words}\n\n{settings.public_url}{url_for('link.page', token=token)}"
    letter = Letter(
        to=to,
        subject=_("Offer: {name}").format(name=on.job.name),
        words=words.strip() + "\n",
        attached=None if by_link else ("offer.html", offer_file(on).encode()),
    )
    try:
        send(settings, letter)
    except MailError as error:
        return offer(offer_id, problems=[(_("E-mail"), str(error))]), 422
    return redirect(url_for("offers.offer", offer_id=offer_id, sent="yes"))
