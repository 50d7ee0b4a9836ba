"""Jobs in the store: list, read, save without losing another's save, delete and undo."""

import json
import secrets
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Engine, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from viewer.job.canonical import digest
from viewer.store.tables import JobRow, VersionRow

PAGE = 50


class JobUnknownError(KeyError):
    """No job of that id is kept (or it was deleted)."""


class SavedMeanwhileError(Exception):
    """Somebody saved the job since it was read; ``current`` is what stands in the store now."""

    def __init__(self, current: "StoredJob") -> None:
        self.current = current
        super().__init__(f"saved meanwhile: revision {current.revision}")


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredJob:
    """A job as kept. ``document`` is as typed; it need not be free of problems."""

    id: str
    name: str
    document: Mapping[str, Any]
    revision: int
    created_at: str
    changed_at: str
    deleted_at: str | None


def moment(at: datetime) -> str:
    """A UTC moment as stored: ISO 8601, microseconds, Z."""
    return at.strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def _stored(row: JobRow) -> StoredJob:
    return StoredJob(
        id=row.id,
        name=row.name,
        document=json.loads(row.document),
        revision=row.revision,
        created_at=row.created_at,
        changed_at=row.changed_at,
        deleted_at=row.deleted_at,
    )


def _name_of(document: Mapping[str, Any]) -> str:
    name = document.get("name")
    return name.strip()[:200] if isinstance(name, str) else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobStore:
    """Jobs of one database. ``now`` gives the present moment in UTC."""

    engine: Engine
    now: Callable[[], datetime]

    def page(self, *, before: tuple[str, str] | None = None, size: int = PAGE) -> tuple[StoredJob, ...]:
        """Jobs that are not deleted, last changed first; ``before``: (changed_at, id) of the last seen."""
        query = select(JobRow).where(JobRow.deleted_at.is_(None))
        if before is not None:
            changed_at, job_id = before
            query = query.where(
                (JobRow.changed_at < changed_at) | ((JobRow.changed_at == changed_at) & (JobRow.id < job_id))
            )
        query = query.order_by(JobRow.changed_at.desc(), JobRow.id.desc()).limit(size)
        with Session(self.engine) as session:
            return tuple(_stored(row) for row in session.scalars(query))

    def get(self, job_id: str, *, deleted_too: bool = False) -> StoredJob:
        """One job. Raises ``JobUnknownError``."""
        with Session(self.engine) as session:
            return _stored(self._row(session, job_id, deleted_too=deleted_too))

    def _row(
        self, session: Session, job_id: str, *, deleted_too: bool = False, to_change: bool = False
    ) -> JobRow:
        """The row; ``to_change`` waits for whoever changes it (SQLite lets in one writer at a time)."""
        row = session.get(JobRow, job_id, with_for_update=to_change)
        if row is None or (row.deleted_at is not None and not deleted_too):
            raise JobUnknownError(job_id)
        return row

    def add(self, document: Mapping[str, Any], *, job_id: str | None = None) -> StoredJob:
        """Keep a new job, under an id of its own unless one is given."""
        now = moment(self.now())
        row = JobRow(
            id=job_id or secrets.token_hex(16),
            name=_name_of(document),
            document=json.dumps(document, ensure_ascii=False),
            created_at=now,
            changed_at=now,
        )
        with Session(self.engine) as session, session.begin():
            session.add(row)
            session.flush()
            return _stored(row)

    def save(self, job_id: str, document: Mapping[str, Any], *, revision: int) -> StoredJob:
        """Replace the document that was read at ``revision``.

        Raises ``SavedMeanwhileError`` when another save came between; neither is lost, the caller shows both.
        """
        with Session(self.engine) as session, session.begin():
            row = self._row(session, job_id, to_change=True)
            if row.revision != revision:
                raise SavedMeanwhileError(_stored(row))
            row.document = json.dumps(document, ensure_ascii=False)
            row.name = _name_of(document)
            row.changed_at = moment(self.now())
            session.flush()
            return _stored(row)

    def keep_as(self, job_id: str, document: Mapping[str, Any]) -> StoredJob:
        """The job of that id, made from a document if there is none yet: the built-in job, say."""
        try:
            return self.get(job_id, deleted_too=True)
        except JobUnknownError:
            with suppress(IntegrityError):  # another process was first
                return self.add(document, job_id=job_id)
        return self.get(job_id, deleted_too=True)

    def copy(self, job_id: str, *, name: str) -> StoredJob:
        """A new job with the document of another under another name; records and offers stay behind."""
        return self.add({**self.get(job_id).document, "name": name})

    def delete(self, job_id: str, *, revision: int | None = None) -> None:
        """Take a job out of the list; ``restore`` brings it back.

        Raises ``JobUnknownError``, and ``SavedMeanwhileError`` for one that is not at ``revision`` any more.
        """
        with Session(self.engine) as session, session.begin():
            row = self._row(session, job_id, to_change=True)
            if revision is not None and row.revision != revision:
                raise SavedMeanwhileError(_stored(row))
            row.deleted_at = moment(self.now())

    def restore(self, job_id: str) -> StoredJob:
        """Undo a deletion. Raises ``JobUnknownError``."""
        with Session(self.engine) as session, session.begin():
            row = self._row(session, job_id, deleted_too=True, to_change=True)
            row.deleted_at = None
            session.flush()
            return _stored(row)

    def keep_version(self, job_id: str, document: Mapping[str, Any]) -> str:
        """Keep a state that an offer or a pack relies on; returns its hash. Keeping it twice is once."""
        found = digest(document)
        with Session(self.engine) as session, session.begin():
            self._row(session, job_id, to_change=True)  # so that of two at once the second finds it kept
            query = select(VersionRow).where(VersionRow.job_id == job_id, VersionRow.digest == found)
            if session.scalar(query) is None:
                text = json.dumps(document, ensure_ascii=False)
                row = VersionRow(job_id=job_id, digest=found, document=text, kept_at=moment(self.now()))
                session.add(row)
        return found

    def version(self, job_id: str, wanted: str) -> Mapping[str, Any]:
        """The kept state with that hash. Raises ``JobUnknownError``."""
        query = select(VersionRow).where(VersionRow.job_id == job_id, VersionRow.digest == wanted)
        with Session(self.engine) as session:
            row = session.scalar(query)
            if row is None:
                raise JobUnknownError(wanted)
            found: Mapping[str, Any] = json.loads(row.document)
            return found

    def versions(self, job_id: str) -> tuple[tuple[str, str, Mapping[str, Any]], ...]:
        """Kept states of a job, oldest first: (hash, kept at, document)."""
        query = select(VersionRow).where(VersionRow.job_id == job_id).order_by(VersionRow.id)
        with Session(self.engine) as session:
            return tuple(
                (row.digest, row.kept_at, json.loads(row.document)) for row in session.scalars(query)
            )
