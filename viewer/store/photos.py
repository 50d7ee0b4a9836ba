"""Photos of a job: before, sample, signed sheet, snag. They come in re-encoded, see ``viewer.uploads``.

A record file that came with a job from elsewhere is kept beside them, as it is: its chain proves it.
"""

import hashlib
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Engine, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from viewer.store.jobs import moment
from viewer.store.tables import PhotoRow


class PhotoUnknownError(KeyError):
    """No such photo is kept."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """A photo as kept; ``data`` is what the program itself encoded."""

    id: str
    job_id: str
    purpose: str
    media_type: str
    data: bytes
    added_at: str

    @property
    def sha256(self) -> str:
        return hashlib.sha256(self.data).hexdigest()


def id_of_key(job_id: str, key: str) -> str:
    """The id of a photo of a job that a browser names by a key of its own, each time it sends it."""
    return hashlib.sha256(f"{job_id} {key}".encode()).hexdigest()[:32]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoStore:
    """Photos of one database."""

    engine: Engine
    now: Callable[[], datetime]

    def add(
        self, job_id: str, purpose: str, data: bytes, media_type: str, *, photo_id: str | None = None
    ) -> Photo:
        """Keep a photo; under an id that is kept already nothing is added."""
        row = PhotoRow(
            id=photo_id or secrets.token_hex(16),
            job_id=job_id,
            purpose=purpose,
            media_type=media_type,
            data=data,
            added_at=moment(self.now()),
        )
        try:
            with Session(self.engine) as session, session.begin():
                session.add(row)
                session.flush()
                return _photo(row)
        except IntegrityError:
            if photo_id is None:
                raise
            return self.get(photo_id)  # the same photo came by another request meanwhile

    def get(self, photo_id: str) -> Photo:
        """One photo. Raises ``PhotoUnknownError``."""
        with Session(self.engine) as session:
            row = session.get(PhotoRow, photo_id)
            if row is None:
                raise PhotoUnknownError(photo_id)
            return _photo(row)

    def of_job(self, job_id: str, purpose: str) -> tuple[Photo, ...]:
        """Photos of a job for one purpose, oldest first."""
        query = select(PhotoRow).where(PhotoRow.job_id == job_id, PhotoRow.purpose == purpose)
        with Session(self.engine) as session:
            return tuple(_photo(row) for row in session.scalars(query.order_by(PhotoRow.added_at)))

    def remove(self, job_id: str, photo_id: str) -> None:
        """Take a photo of a job away for good. Raises ``PhotoUnknownError``."""
        with Session(self.engine) as session, session.begin():
            row = session.get(PhotoRow, photo_id)
            if row is None or row.job_id != job_id:
                raise PhotoUnknownError(photo_id)
            session.delete(row)


def _photo(row: PhotoRow) -> Photo:
    return Photo(
        id=row.id,
        job_id=row.job_id,
        purpose=row.purpose,
        media_type=row.media_type,
        data=row.data,
        added_at=row.added_at,
    )
