"""A record in the store: entries are added whole and never changed, personal values stand apart."""

import base64
import json
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Engine, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from viewer.job.canonical import canonical
from viewer.signoff.chain import Entry, Stage, append
from viewer.signoff.export import export
from viewer.signoff.keys import Signer
from viewer.signoff.personal import Personal
from viewer.store.tables import EntryRow, OfferRow, PersonalRow

MOST_TRIES = 8
"""Of adding one entry while others add theirs."""


class AlreadySignedError(Exception):
    """The offer was signed, withdrawn, has ended or is unknown: there is nothing left to sign."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordStore:
    """Records of one database, signed with one key."""

    engine: Engine
    signer: Signer

    def entries(self, job_id: str) -> tuple[Entry, ...]:
        """The chain of a job, oldest first; empty when nothing was offered yet."""
        with Session(self.engine) as session:
            return self._entries(session, job_id)

    def _entries(self, session: Session, job_id: str) -> tuple[Entry, ...]:
        query = select(EntryRow).where(EntryRow.job_id == job_id).order_by(EntryRow.place)
        return tuple(_entry(json.loads(row.document)) for row in session.scalars(query))

    def append(
        self,
        job_id: str,
        *,
        stage: Stage,
        at: str,
        sections: Mapping[str, Any],
        personal: tuple[Personal, ...] = (),
        supersedes: int | None = None,
        offer_id: str | None = None,
    ) -> Entry:
        """Add one entry with its personal values, and mark the offer that it signs, all or nothing.

        Raises ``AlreadySignedError`` when ``offer_id`` is signed, withdrawn, ended or unknown.
        """

        def attempt() -> Entry:
            with Session(self.engine) as session, session.begin():
                chain = append(
                    self._entries(session, job_id),
                    self.signer,
                    stage=stage,
                    at=at,
                    sections=sections,
                    supersedes=supersedes,
                )
                entry = chain[-1]
                if offer_id is not None:
                    self._mark_signed(session, job_id, offer_id, entry)
                text = canonical(entry.as_json()).decode()
                session.add(EntryRow(job_id=job_id, place=entry.place, document=text))
                for one in personal:
                    row = PersonalRow(reference=one.reference, job_id=job_id, salt=one.salt, value=one.value)
                    session.add(row)
            return entry

        for _again in range(MOST_TRIES - 1):
            # PostgreSQL lets two writers read the same chain; the place in it is unique, so one comes again
            with suppress(IntegrityError):
                return attempt()
        return attempt()

    def _mark_signed(self, session: Session, job_id: str, offer_id: str, entry: Entry) -> None:
        offer = session.get(OfferRow, offer_id, with_for_update=True)
        if offer is None or offer.job_id != job_id or offer.revoked_at or offer.signed_place is not None:
            raise AlreadySignedError(offer_id)
        # the entry's own time: a clock set back does not bring an ended offer back
        if entry.at > offer.expires_at:
            raise AlreadySignedError(offer_id)
        offer.signed_place = entry.place

    def personal(self, job_id: str) -> dict[str, Personal]:
        """The personal values of a job that were not erased, by reference."""
        query = select(PersonalRow).where(PersonalRow.job_id == job_id)
        with Session(self.engine) as session:
            return {row.reference: Personal(salt=row.salt, value=row.value) for row in session.scalars(query)}

    def export(self, job_id: str) -> bytes:
        """The job's record as one file that verifies by itself."""
        return export(self.entries(job_id), self.personal(job_id), self.signer)


def _entry(data: Mapping[str, Any]) -> Entry:
    return Entry(
        place=data["place"],
        stage=data["stage"],
        at=data["at"],
        previous=data["previous"],
        sections=data["sections"],
        supersedes=data["supersedes"],
        signature=base64.b64decode(data["signature"]),
    )
