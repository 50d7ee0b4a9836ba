"""Erasing what a record knows of people: names, drawn signatures, remarks and photos of one job, for good.

The chain goes on verifying: it holds only salted hashes, and salt and value go together. The job itself, and
the photos of its sample boards, stay: they are the maker's.
"""

from dataclasses import dataclass

from sqlalchemy import Engine, delete, select
from sqlalchemy.orm import Session

from viewer.store.tables import OfferRow, PersonalRow, PhotoRow, RemarkRow

KEPT_PHOTOS = ("sample",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Erased:
    """How much went: values of the record, remarks, photos."""

    values: int
    remarks: int
    photos: int


def erase(engine: Engine, job_id: str) -> Erased:
    """Erase every personal value of a job, all or nothing. SQLite overwrites what it deletes."""
    offers = select(OfferRow.id).where(OfferRow.job_id == job_id)
    values = delete(PersonalRow).where(PersonalRow.job_id == job_id).returning(PersonalRow.reference)
    remarks = delete(RemarkRow).where(RemarkRow.offer_id.in_(offers)).returning(RemarkRow.id)
    photos = delete(PhotoRow).where(PhotoRow.job_id == job_id, PhotoRow.purpose.not_in(KEPT_PHOTOS))
    asked = {"synchronize_session": False}
    with Session(engine) as session, session.begin():
        erased = Erased(
            values=len(session.execute(values, execution_options=asked).all()),
            remarks=len(session.execute(remarks, execution_options=asked).all()),
            photos=len(session.execute(photos.returning(PhotoRow.id), execution_options=asked).all()),
        )
    if engine.dialect.name == "sqlite":
        raw = engine.raw_connection()  # outside of a transaction, which the pragma needs
        try:
            # what was written before it went may still stand in the log beside the file
            raw.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)")
        finally:
            raw.close()
    return erased
