"""The sign-off sheet of an offer: what the record and the offer say, laid out for paper."""

import base64
from gettext import gettext as _

import segno

from finishes.lamps import lamp
from viewer.drawings.figures import figure
from viewer.figure import figure_of
from viewer.job.choices import chosen_finish
from viewer.pages.bands import band_png
from viewer.pages.client_view import measured, price_words
from viewer.pages.job_view import finish_words
from viewer.pages.offer_copies import copy_of
from viewer.pages.offered import Offered, facts_of
from viewer.pages.opened import first_entries, kept_job
from viewer.pages.record_words import shown_name
from viewer.services import services
from viewer.sheets.paper import PaperName, stamp_of
from viewer.sheets.sign_off import sign_off
from viewer.sheets.sign_off_matter import SheetFinish, SignedBy, SignOff, StandingStamp
from viewer.signoff.agreed import Fact
from viewer.signoff.chain import Entry
from viewer.signoff.keys import fingerprint
from viewer.signoff.standing import Standing, standing, superseding

STILL_PX, STILL_QUALITY = 800, 80
"""300 dots an inch at the sheet's 68 mm."""


def sheet_pdf(on: Offered, paper: PaperName) -> bytes:
    """The offer's sheet as PDF; once it is signed, with what was chosen and ticked, and its hash."""
    records = services().store.records
    entries = records.entries(on.stored.job_id)
    place = on.stored.signed_place
    entry = entries[place] if place is not None else None
    choice = entry.sections["choice"] if entry else None
    ticked = choice["ticked"] if choice else ()
    label = choice["finish"] if choice else on.finishes[0][0]
    stands = _standing(on, entries[: place + 1]) if entry and place is not None else None
    key = fingerprint(records.signer.public)
    plain = stamp_of(on.job, on.document)
    matter = SignOff(
        stamp=StandingStamp(
            job=plain.job,
            version=plain.version,
            job_format=plain.job_format,
            revised=plain.revised,
            standing=standing_words(stands, superseding(entries, entry) if entry else None),
        ),
        paper=paper,
        maker=on.offer.maker,
        expires=on.offer.expires,
        finishes=tuple(
            _finish(on, number, chosen=bool(choice) and on.finishes[number][0] == label)
            for number in range(len(on.finishes))
        ),
        set_outs=on.studio.scene.set_outs,
        zones=on.job.zones_by_wall,
        facts=[_row(fact) for fact in on.facts(dict(on.finishes)[label]) if measured(fact)],
        changes=[on_paper(change.sentence) for change in stands.outside] if stands else (),
        price=price_words(on.offer.price) if on.offer.price else "",
        excluded=on.offer.excluded,
        lines=[(line.sentence, line.key in ticked) for line in on.offer.lines],
        off_cut=choice["off_cut"] if choice else "",
        seen_by_day=bool(choice and choice["seen_by_day"]),
        seen_under_lamps=bool(choice and choice["seen_under_lamps"]),
        signed=_signed(on, entry, entries),
        hash=entry.hash if entry else "",
        fingerprint=key,
        qr=segno.make(f"slatwright record {entry.hash} key {key}", error="m").matrix if entry else (),
    )
    return sign_off(matter)


def on_paper(sentence: str) -> str:
    """A sentence in signs that the embedded typeface has: it knows no arrow."""
    return sentence.replace("→", _("to"))


def standing_words(stands: Standing | None, later: Entry | None) -> str:
    """What the title block says first. ``later`` took the signature's place."""
    if stands is None:
        return _("not signed")
    if later is not None and later.stage == "withdrawn":
        return _("withdrawn on %s") % later.at[:10]
    if later is not None:
        return _("replaced by what was signed on %s") % str(later.sections["choice"]["signed_on"])
    if stands.outside:
        return _("changed since it was signed on %s") % stands.signed_on
    return _("signed on %s") % stands.signed_on


def _standing(on: Offered, entries: tuple[Entry, ...]) -> Standing | None:
    """The job as it is now against this offer's own signature; a job that cannot be used now has changed."""
    found = kept_job(on.stored.job_id)
    job = found.job if found else None
    now = facts_of(job, chosen_finish(job), on.offer, price=None) if job else ()
    return standing(entries, now)


def _finish(on: Offered, number: int, *, chosen: bool) -> SheetFinish:
    label, finish = on.finishes[number]
    offers, views = services().store.offers, on.offer.views
    look = on.studio.appearance(finish)
    stills = []
    for light, lighting in enumerate(on.lightings):
        place = (number * len(on.lightings) + light) * len(views)
        still = offers.picture(on.stored.id, place).data
        stills.append((lighting.name, copy_of(still, width=STILL_PX, quality=STILL_QUALITY)))
    return SheetFinish(
        name=label,
        make=f"{finish_words(finish, first_entries())}. {look.state}.",
        band=band_png(look, figure_of(finish, services().catalogue), lamp("D65")),
        stills=tuple(stills),
        chosen=chosen,
    )


def _row(fact: Fact) -> tuple[str, str, str]:
    value = fact.value if isinstance(fact.value, str) else figure(fact.value)
    unit = f" {fact.unit}" if fact.unit else ""
    return fact.words, f"{value}{unit}", f"± {figure(fact.tolerance)}{unit}" if fact.tolerance else ""


def _signed(on: Offered, entry: Entry | None, entries: tuple[Entry, ...]) -> list[SignedBy]:
    """The client's signature, and the second one of the handover that follows it."""
    if entry is None:
        return []
    personal = services().store.records.personal(on.stored.job_id)
    following = [one for one in entries[entry.place :] if one.stage in ("signature", "variation", "handover")]
    found = []
    for one in (entry, *(later for later in following if later.stage == "handover")):
        client = one.sections.get("client", {})
        drawn = personal.get((client.get("drawn") or {}).get("personal", ""))
        found.append(
            SignedBy(
                stage=_("client") if one is entry else _("client at handover"),
                name=shown_name(client.get("name"), personal),
                day=one.sections["choice"]["signed_on"] if one is entry else one.at[:10],
                drawn=base64.b64decode(drawn.value) if drawn else b"",
            )
        )
    return found
