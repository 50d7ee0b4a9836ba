"""An offer as requests work with it: the kept state of its job, narrowed to what is offered."""

import base64
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from flask import abort, url_for

from finishes.choice import Finish
from viewer.answers.set_out import set_outs_of
from viewer.catalogue import KINDS
from viewer.clock import utc_now
from viewer.job.canonical import digest
from viewer.job.choices import candidates, finish_label, lightings
from viewer.job.model import Job
from viewer.pages.opened import Opened
from viewer.pages.studios import studio_of
from viewer.services import services
from viewer.signoff.agreed import Fact
from viewer.signoff.facts import agreed_facts
from viewer.signoff.offer import Offer
from viewer.store.jobs import moment
from viewer.store.offers import StoredOffer

WIDTH, HEIGHT = 1200, 800
"""Pixels of an offer's stills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered(Opened):
    """``family`` is the blueprint that answers, ``place`` what its addresses need: an id or a token."""

    family: str
    place: Mapping[str, Any]
    stored: StoredOffer
    offer: Offer

    def address(self, endpoint: str, **values: Any) -> str:
        """Address of a part of this offer; pictures of one offer never change."""
        return url_for(f"{self.family}.{endpoint}", **self.place, v=self.version[:16], **values)

    @property
    def state(self) -> str:
        """signed, withdrawn, ended or open, now."""
        return self.stored.state(moment(utc_now()))

    @property
    def complete(self) -> bool:
        """Whether every picture is there."""
        return bool(self.offer.pictures)

    def facts(self, finish: Finish) -> tuple[Fact, ...]:
        """What a signature on that finish fixes."""
        price = self.offer.price
        return facts_of(
            self.job, finish, self.offer, price=(Decimal(price.amount), price.currency) if price else None
        )


def facts_of(
    job: Job, finish: Finish, offer: Offer, *, price: tuple[Decimal, str] | None
) -> tuple[Fact, ...]:
    """Facts of a job under an offer's tolerances, names left empty filled in from the catalogue."""
    return agreed_facts(job, set_outs_of(job), filled_in(finish), offer.tolerances, price=price)


def filled_in(finish: Finish) -> Finish:
    """A finish with every empty name replaced by what it means."""
    empty = {kind: services().catalogue.default(kind) for kind in KINDS if getattr(finish, kind, None) == ""}
    return finish.model_copy(update=empty)


def offered(stored: StoredOffer, *, family: str, place: Mapping[str, Any]) -> Offered:
    """The offer with its job; 404 when the kept state cannot be used any more."""
    offer = Offer.model_validate(stored.document)
    document = services().store.jobs.version(stored.job_id, offer.job_digest)
    checked = services().check_state(document)
    if checked.job is None:
        abort(404)
    job = checked.job
    version = digest({"offer": stored.id, "job": offer.job_digest})
    named = {finish_label(one, number): one for number, one in enumerate(candidates(job))}
    lit = {lighting.name: lighting for lighting in lightings(job)}
    return Offered(
        name=job.name,
        version=version,
        job=job,
        finishes=tuple((label, named[label]) for label in offer.finishes),
        lightings=tuple(lit[name] for name in offer.lightings),
        studio=studio_of(offer.job_digest, job),
        family=family,
        place=place,
        stored=stored,
        offer=offer,
        document=dict(document),
    )


def data_uri(data: bytes, media_type: str) -> str:
    """Bytes as an address that needs no request."""
    return f"data:{media_type};base64,{base64.b64encode(data).decode()}"


def sha256(data: bytes) -> str:
    """Hash of a picture's bytes, as the record holds it."""
    return hashlib.sha256(data).hexdigest()
