"""The store as the application works with it: database opened and migrated, key at hand."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy import Engine

from viewer.signoff.keys import load_or_make
from viewer.store.accounts import AccountStore
from viewer.store.database import default_url, engine_for, migrate
from viewer.store.jobs import JobStore
from viewer.store.offers import OfferStore
from viewer.store.photos import PhotoStore
from viewer.store.records import RecordStore
from viewer.store.tries import TryStore


@dataclass(frozen=True, slots=True, kw_only=True)
class Store:
    """Everything that must not be lost."""

    engine: Engine
    jobs: JobStore
    records: RecordStore
    offers: OfferStore
    photos: PhotoStore
    accounts: AccountStore
    tries: TryStore

    def close(self) -> None:
        """Give back the database's connections."""
        self.engine.dispose()


def open_store(data_dir: Path, database_url: str | None, now: Callable[[], datetime]) -> Store:
    """Open the database, a SQLite file in the data folder unless an address says otherwise, and migrate it.

    Raises ``DatabaseURLError``, ``KeyFileError``, or SQLAlchemy's error for a database that does not answer.
    """
    data_dir.mkdir(parents=True, exist_ok=True, mode=0o700)
    engine = engine_for(database_url or default_url(data_dir))
    migrate(engine)
    return Store(
        engine=engine,
        jobs=JobStore(engine=engine, now=now),
        records=RecordStore(engine=engine, signer=load_or_make(data_dir)),
        offers=OfferStore(engine=engine, now=now),
        photos=PhotoStore(engine=engine, now=now),
        accounts=AccountStore(engine=engine, now=now),
        tries=TryStore(engine=engine, now=now),
    )
