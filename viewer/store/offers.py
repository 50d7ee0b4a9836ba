"""Offers in the store: made, given a link, looked at, remarked on, withdrawn.

Of a link's token only the SHA-256 is kept: who reads the database cannot open a client's page with it.
"""

import hashlib
import json
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Engine, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from viewer.store.jobs import moment
from viewer.store.tables import OfferRow, PictureRow, RemarkRow

TOKEN_BYTES = 24
"""192 bits, written in 32 letters: nobody guesses it, and it still fits a small QR."""
MOST_REMARKS = 500
"""Of one offer; who needs more should telephone."""


class OfferUnknownError(KeyError):
    """No such offer is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredOffer:
    """An offer as kept. ``document``: see ``viewer.signoff.offer``; moments in UTC as text."""

    id: str
    job_id: str
    document: Mapping[str, Any]
    has_link: bool
    made_at: str
    expires_at: str
    revoked_at: str | None
    signed_place: int | None

    def state(self, now: str) -> str:
        """signed, withdrawn, ended or open, at a moment."""
        if self.signed_place is not None:
            return "signed"
        if self.revoked_at is not None:
            return "withdrawn"
        return "ended" if now > self.expires_at else "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class Remark:
    """``kind``: comment or change; ``x`` and ``y`` are shares of the picture from its upper left corner."""

    kind: str
    words: str
    at: str
    picture: int | None = None
    x: float | None = None
    y: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPicture:
    """One still of an offer, as shown."""

    place: int
    sha256: str
    media_type: str
    data: bytes


def token_hash(token: str) -> str:
    """What is stored of a token."""
    return hashlib.sha256(token.encode()).hexdigest()


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferStore:
    """Offers of one database."""

    engine: Engine
    now: Callable[[], datetime]

    def add(self, job_id: str, document: Mapping[str, Any], *, expires_at: str) -> StoredOffer:
        """Keep a new offer; it has no link yet."""
        row = OfferRow(
            id=secrets.token_hex(16),
            job_id=job_id,
            document=json.dumps(document, ensure_ascii=False),
            made_at=moment(self.now()),
            expires_at=expires_at,
        )
        with Session(self.engine) as session, session.begin():
            session.add(row)
            session.flush()
            return _stored(row)

    def get(self, offer_id: str) -> StoredOffer:
        """One offer. Raises ``OfferUnknownError``."""
        with Session(self.engine) as session:
            return _stored(self._row(session, offer_id))

    def by_token(self, token: str) -> StoredOffer:
        """The offer that a link opens. Raises ``OfferUnknownError``."""
        query = select(OfferRow).where(OfferRow.token_hash == token_hash(token))
        with Session(self.engine) as session:
            row = session.scalar(query)
            if row is None:
                raise OfferUnknownError
            return _stored(row)

    def of_job(self, job_id: str) -> tuple[StoredOffer, ...]:
        """All offers of a job, the newest first."""
        query = select(OfferRow).where(OfferRow.job_id == job_id)
        query = query.order_by(OfferRow.made_at.desc(), OfferRow.id)
        with Session(self.engine) as session:
            return tuple(_stored(row) for row in session.scalars(query))

    def _row(self, session: Session, offer_id: str) -> OfferRow:
        row = session.get(OfferRow, offer_id)
        if row is None:
            raise OfferUnknownError(offer_id)
        return row

    def complete(self, offer_id: str, document: Mapping[str, Any]) -> StoredOffer:
        """Put the pictures' hashes into an offer that nobody has signed yet."""
        with Session(self.engine) as session, session.begin():
            row = self._row(session, offer_id)
            if row.signed_place is None:
                row.document = json.dumps(document, ensure_ascii=False)
            session.flush()
            return _stored(row)

    def new_link(self, offer_id: str) -> str:
        """A fresh token for an offer's link; an older link stops working. It is told this once only."""
        token = secrets.token_urlsafe(TOKEN_BYTES)
        with Session(self.engine) as session, session.begin():
            self._row(session, offer_id).token_hash = token_hash(token)
        return token

    def end_link(self, offer_id: str) -> None:
        """The link stops working; the offer stays open on the maker's own screen."""
        with Session(self.engine) as session, session.begin():
            self._row(session, offer_id).token_hash = None

    def withdraw(self, offer_id: str) -> None:
        """Take an unsigned offer back: its link stops working and nobody can sign it."""
        with Session(self.engine) as session, session.begin():
            row = self._row(session, offer_id)
            if row.signed_place is None and row.revoked_at is None:
                row.revoked_at, row.token_hash = moment(self.now()), None

    def keep_picture(self, offer_id: str, place: int, data: bytes, media_type: str) -> str:
        """Keep a still; returns its hash. A second one of the same place is left out."""
        found = hashlib.sha256(data).hexdigest()
        row = PictureRow(offer_id=offer_id, place=place, sha256=found, media_type=media_type, data=data)
        try:
            with Session(self.engine) as session, session.begin():
                session.add(row)
        except IntegrityError:
            return self.picture(offer_id, place).sha256
        return found

    def picture(self, offer_id: str, place: int) -> KeptPicture:
        """One still with its bytes. Raises ``OfferUnknownError``."""
        query = select(PictureRow).where(PictureRow.offer_id == offer_id, PictureRow.place == place)
        with Session(self.engine) as session:
            row = session.scalar(query)
            if row is None:
                raise OfferUnknownError(offer_id)
            return KeptPicture(place=place, sha256=row.sha256, media_type=row.media_type, data=row.data)

    def pictures(self, offer_id: str) -> dict[int, str]:
        """Hashes of the stills that are there, by place."""
        query = select(PictureRow.place, PictureRow.sha256).where(PictureRow.offer_id == offer_id)
        with Session(self.engine) as session:
            return {place: found for place, found in session.execute(query.order_by(PictureRow.place))}

    def remark(self, offer_id: str, remark: Remark) -> bool:
        """Keep what a client says; False when the offer has too many remarks already."""
        with Session(self.engine) as session, session.begin():
            self._row(session, offer_id)
            count = len(session.scalars(select(RemarkRow.id).where(RemarkRow.offer_id == offer_id)).all())
            if count >= MOST_REMARKS:
                return False
            row = RemarkRow(offer_id=offer_id, kind=remark.kind, words=remark.words, at=remark.at)
            row.picture, row.x, row.y = remark.picture, remark.x, remark.y
            session.add(row)
        return True

    def remarks(self, offer_id: str) -> tuple[Remark, ...]:
        """Everything said of an offer, oldest first."""
        query = select(RemarkRow).where(RemarkRow.offer_id == offer_id).order_by(RemarkRow.id)
        with Session(self.engine) as session:
            return tuple(
                Remark(kind=row.kind, words=row.words, at=row.at, picture=row.picture, x=row.x, y=row.y)
                for row in session.scalars(query)
            )


def _stored(row: OfferRow) -> StoredOffer:
    return StoredOffer(
        id=row.id,
        job_id=row.job_id,
        document=json.loads(row.document),
        has_link=row.token_hash is not None,
        made_at=row.made_at,
        expires_at=row.expires_at,
        revoked_at=row.revoked_at,
        signed_place=row.signed_place,
    )
