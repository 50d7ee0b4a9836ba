"""A database of the first revision comes up to ours with all that is in it; backups go all the way round."""

import io
import json
import sqlite3
import zipfile
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from viewer.cli import invoke
from viewer.clock import utc_now
from viewer.signoff.verify import verify
from viewer.store.backup import BackupError, backup_bytes, restore_bytes
from viewer.store.database import FILE_NAME, NewerDatabaseError, default_url, engine_for
from viewer.store.opening import Store, open_store
from viewer.store.tables import Base

FIRST = Path(__file__).parent / "data" / "store-revision-0001.sql"


@pytest.fixture
def old_folder(tmp_path: Path) -> Path:
    """A data folder as the first revision left it."""
    folder = tmp_path / "old"
    folder.mkdir()
    database = sqlite3.connect(folder / FILE_NAME)
    database.executescript(FIRST.read_text(encoding="utf-8"))
    database.close()
    return folder


def rows(store: Store) -> dict[str, list[tuple[object, ...]]]:
    with Session(store.engine) as session:
        return {
            table.name: [tuple(row) for row in session.execute(select(table))]
            for table in Base.metadata.sorted_tables
        }


def test_a_database_of_the_first_revision_loses_nothing(old_folder: Path) -> None:
    store = open_store(old_folder, None, utc_now)
    (job,) = store.jobs.page()
    assert job.document["_note"] == "made at the first revision"
    assert [(offer.id, offer.has_link, offer.signed_place) for offer in store.offers.of_job(job.id)] == [
        ("offer1", True, 1)
    ]
    assert store.photos.get("photo1").data == b"\x89PNG invented"
    assert len(store.jobs.versions(job.id)) == 1
    assert [one.value for one in store.records.personal(job.id).values()] == ["B. Client (invented)"]
    entries = store.records.entries(job.id)
    assert [entry.stage for entry in entries] == ["offer", "signature"]
    assert entries[1].previous == entries[0].hash
    store.close()
    assert (old_folder / f"{FILE_NAME}.before-0003").is_file()


def test_a_later_database_is_refused_by_name(old_folder: Path) -> None:
    database = sqlite3.connect(old_folder / FILE_NAME)
    database.execute("UPDATE alembic_version SET version_num = '9999'")
    database.commit()
    database.close()
    with pytest.raises(NewerDatabaseError, match="revision 9999"):
        open_store(old_folder, None, utc_now)


@pytest.mark.parametrize("revision", ["head", "0001"])
def test_a_backup_goes_all_the_way_round(old_folder: Path, tmp_path: Path, revision: str) -> None:
    if revision == "head":
        store = open_store(old_folder, None, utc_now)
    else:
        engine = engine_for(default_url(old_folder))
        (old_folder / "record-key").write_text(
            "AAECAwQFBgcICQoLDA0ODxAREhMUFRYXGBkaGxwdHh8=\n", encoding="utf-8"
        )
        data = backup_bytes(engine, old_folder / "record-key")
        engine.dispose()
        store = open_store(old_folder, None, utc_now)
    if revision == "head":
        data = backup_bytes(store.engine, old_folder / "record-key")
    before = rows(store)
    (job,) = store.jobs.page()
    exported = store.records.export(job.id)
    store.close()

    new_folder = tmp_path / "new"
    new_folder.mkdir()
    engine = engine_for(default_url(new_folder))
    counts = restore_bytes(data, engine, new_folder / "record-key")
    engine.dispose()
    again = open_store(new_folder, None, utc_now)
    assert rows(again) == before
    assert counts["jobs"] == 1
    assert again.records.export(job.id) == exported
    assert verify(exported).intact == (revision == "0001")  # the fixture's own key only stands in that case
    again.close()


def test_a_sqlite_database_moves_into_another_kind_by_a_backup(
    old_folder: Path, tmp_path: Path, database_url: str
) -> None:
    store = open_store(old_folder, None, utc_now)
    data, before = backup_bytes(store.engine, old_folder / "record-key"), rows(store)
    store.close()
    (tmp_path / "moved").mkdir()
    engine = engine_for(database_url)
    restore_bytes(data, engine, tmp_path / "moved" / "record-key")
    again = backup_bytes(engine, tmp_path / "moved" / "record-key")
    engine.dispose()
    moved = open_store(tmp_path / "moved", database_url, utc_now)
    assert rows(moved) == before
    store_ids = [job.id for job in moved.jobs.page()]
    assert moved.jobs.save(store_ids[0], {"name": "goes on"}, revision=moved.jobs.get(store_ids[0]).revision)
    moved.records.append(store_ids[0], stage="deposit", at="2026-11-25T00:00:00Z", sections={})
    moved.close()
    third = engine_for(f"sqlite:///{tmp_path / 'third.sqlite3'}")
    assert restore_bytes(again, third, tmp_path / "third-key")["jobs"] == len(store_ids), "and back again"
    third.dispose()


def test_a_restore_does_not_overwrite(old_folder: Path) -> None:
    store = open_store(old_folder, None, utc_now)
    data = backup_bytes(store.engine, old_folder / "record-key")
    with pytest.raises(BackupError, match="not empty"):
        restore_bytes(data, store.engine, old_folder / "record-key")
    (old_folder / "record-key").write_bytes(b"another")
    with pytest.raises(BackupError, match="another key"):
        restore_bytes(data, store.engine, old_folder / "record-key")
    store.close()


def test_what_is_no_backup_is_refused(tmp_path: Path) -> None:
    engine = engine_for(default_url(tmp_path))
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("backup.json", json.dumps({"format": 1, "kind": "other", "revision": "0001"}))
        archive.writestr("../outside", b"x")
    for data in (b"", b"PK", packed.getvalue()):
        with pytest.raises(BackupError, match="no backup"):
            restore_bytes(data, engine, tmp_path / "record-key")
    assert not (tmp_path.parent / "outside").exists()
    engine.dispose()


def test_the_commands(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, capsysbinary: pytest.CaptureFixture[bytes]
) -> None:
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path / "one"))
    monkeypatch.setattr("sys.stdin", io.StringIO("a long enough password\n"))
    assert invoke(["owner", "maker"]) == 0
    assert invoke(["backup", str(tmp_path / "b")]) == 0
    assert (tmp_path / "b").stat().st_mode & 0o777 == 0o600
    monkeypatch.setenv("SLATWRIGHT_DATA_DIR", str(tmp_path / "two"))
    assert invoke(["restore", str(tmp_path / "b")]) == 0
    assert json.loads(capsysbinary.readouterr().out)["accounts"] == 1
    assert invoke(["restore", str(tmp_path / "b")]) == 2
    assert b"not empty" in capsysbinary.readouterr().err
    monkeypatch.setattr("sys.stdin", io.StringIO("short\n"))
    assert invoke(["owner", "maker"]) == 2
    monkeypatch.setenv("SLATWRIGHT_DATABASE_URL", "mysql://x")
    assert invoke(["backup", str(tmp_path / "c")]) == 2
    assert b"SLATWRIGHT_DATABASE_URL: expected sqlite" in capsysbinary.readouterr().err
