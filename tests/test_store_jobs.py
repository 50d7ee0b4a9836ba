"""The store: round trips, lost updates, undo, migration of an empty and of an earlier database."""

import datetime
import sys
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Engine

from viewer.store.database import DatabaseURLError, engine_for, migrate
from viewer.store.jobs import JobStore, JobUnknownError, SavedMeanwhileError
from viewer.store.tables import Base

DOCUMENT = {"format": 1, "name": "Reading room", "wall": {"width_mm": "7' 10 1/2\""}, "_note": "é – ½"}


@pytest.fixture
def engine(database_url: str) -> Iterator[Engine]:
    engine = engine_for(database_url)
    migrate(engine)
    yield engine
    engine.dispose()


@pytest.fixture
def store(engine: Engine) -> JobStore:
    moments = iter(range(10_000))

    def now() -> datetime.datetime:
        start = datetime.datetime(2026, 11, 20, tzinfo=datetime.UTC)
        return start + datetime.timedelta(seconds=next(moments))

    return JobStore(engine=engine, now=now)


def test_migrations_and_tables_agree(engine: Engine) -> None:
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []


def test_migrating_twice_changes_nothing(engine: Engine, tmp_path: Path) -> None:
    before = sorted(path.name for path in tmp_path.iterdir())
    migrate(engine)
    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_what_was_typed_comes_back(store: JobStore) -> None:
    kept = store.add(DOCUMENT)
    assert store.get(kept.id) == kept
    assert kept.document == DOCUMENT
    assert (kept.name, kept.revision) == ("Reading room", 1)


def test_a_second_save_is_told_of_the_first(store: JobStore) -> None:
    kept = store.add(DOCUMENT)
    first = store.save(kept.id, {**DOCUMENT, "name": "First"}, revision=kept.revision)
    with pytest.raises(SavedMeanwhileError) as caught:
        store.save(kept.id, {**DOCUMENT, "name": "Second"}, revision=kept.revision)
    assert caught.value.current == first
    assert store.get(kept.id).name == "First"


def test_of_many_saves_at_once_one_wins(store: JobStore) -> None:
    kept = store.add(DOCUMENT)
    outcomes: list[str] = []

    def save(number: int) -> None:
        try:
            store.save(kept.id, {**DOCUMENT, "name": f"Tab {number}"}, revision=kept.revision)
            outcomes.append("saved")
        except SavedMeanwhileError:
            outcomes.append("told")

    threads = [threading.Thread(target=save, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["saved"] + ["told"] * 7
    assert store.get(kept.id).revision == 2


def test_deleting_is_undone(store: JobStore) -> None:
    kept = store.add(DOCUMENT)
    store.delete(kept.id)
    assert store.page() == ()
    with pytest.raises(JobUnknownError):
        store.get(kept.id)
    assert store.restore(kept.id).document == DOCUMENT
    assert [job.id for job in store.page()] == [kept.id]


def test_pages_follow_on_without_gap_or_repeat(store: JobStore) -> None:
    ids = [store.add({**DOCUMENT, "name": str(number)}).id for number in range(7)]
    seen: list[str] = []
    before = None
    while page := store.page(before=before, size=3):
        seen += [job.id for job in page]
        before = (page[-1].changed_at, page[-1].id)
    assert seen == ids[::-1]


def test_a_copy_is_a_job_of_its_own(store: JobStore) -> None:
    kept = store.add(DOCUMENT)
    copied = store.copy(kept.id, name="Reading room, again")
    assert copied.id != kept.id
    assert copied.document == {**DOCUMENT, "name": "Reading room, again"}


def test_a_version_that_several_keep_at_once_is_kept_once(store: JobStore) -> None:
    job = store.add(DOCUMENT).id
    together = threading.Barrier(8, timeout=10)

    def keep(_number: int) -> set[str]:
        found = set()
        for state in range(5):
            together.wait()
            found.add(store.keep_version(job, {**DOCUMENT, "name": f"State {state}"}))
        return found

    with ThreadPoolExecutor(8) as threads:
        kept = list(threads.map(keep, range(8)))
    assert kept == 8 * [{version for version, _at, _document in store.versions(job)}]
    assert len(store.versions(job)) == 5


def test_a_version_is_kept_once(store: JobStore) -> None:
    kept = store.add(DOCUMENT)
    first = store.keep_version(kept.id, DOCUMENT)
    assert store.keep_version(kept.id, DOCUMENT) == first
    assert [(found, document) for found, _, document in store.versions(kept.id)] == [(first, DOCUMENT)]


@pytest.mark.parametrize("url", ["mysql://somewhere/x", "jobs.db", ""])
def test_an_address_it_cannot_use_is_refused(url: str) -> None:
    with pytest.raises(DatabaseURLError, match="expected sqlite:///FILE or postgresql"):
        engine_for(url)


def test_postgresql_without_its_driver_is_refused_with_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(DatabaseURLError, match="pip install 'psycopg"):
        engine_for("postgresql://somebody@somewhere/x")
