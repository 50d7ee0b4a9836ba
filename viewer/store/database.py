"""Opening the database: engine, pragmas, and the migration at start, after a copy of what was there."""

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

FILE_NAME = "slatwright.sqlite3"


class DatabaseURLError(ValueError):
    """The database's address is not one that this program can use."""


class NewerDatabaseError(ValueError):
    """The database was written by a later program."""


def default_url(data_dir: Path) -> str:
    """The SQLite file of a data folder."""
    return f"sqlite:///{data_dir / FILE_NAME}"


def engine_for(url: str) -> Engine:
    """An engine for ``sqlite:///…`` or ``postgresql+psycopg://…``. Raises ``DatabaseURLError`` for others."""
    try:
        parsed = make_url(url)
    except ArgumentError:
        raise DatabaseURLError("expected sqlite:///FILE or postgresql://USER@HOST/NAME") from None
    if parsed.drivername in ("postgres", "postgresql"):
        parsed = parsed.set(drivername="postgresql+psycopg")
    if parsed.drivername not in ("sqlite", "postgresql+psycopg"):
        raise DatabaseURLError("expected sqlite:///FILE or postgresql://USER@HOST/NAME")
    try:
        engine = create_engine(parsed)
    except ModuleNotFoundError:
        raise DatabaseURLError(
            "expected psycopg to be installed for PostgreSQL: .venv/bin/pip install 'psycopg[binary]'"
        ) from None
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _pragmas)
        event.listen(engine, "begin", lambda connection: connection.exec_driver_sql("BEGIN IMMEDIATE"))
    return engine


def _pragmas(connection: Any, _record: Any) -> None:
    # the driver must not begin transactions by itself: BEGIN IMMEDIATE above takes the write lock at once,
    # so that two writers wait for each other instead of failing half way
    connection.isolation_level = None
    # secure_delete: what people had erased is overwritten, not only unlinked
    for pragma in (
        "journal_mode=WAL",
        "foreign_keys=ON",
        "busy_timeout=10000",
        "synchronous=FULL",
        "secure_delete=ON",
    ):
        connection.execute(f"PRAGMA {pragma}").close()


def copy_sqlite(source: Path, target: Path) -> None:
    """A consistent copy of a SQLite file that may be in use, by SQLite's own backup interface."""
    with sqlite3.connect(source) as reading, sqlite3.connect(target) as writing:
        reading.backup(writing)
    reading.close()
    writing.close()


def revision_of(connection: Connection) -> str | None:
    """The revision that the database's tables are at; None for an empty database."""
    from alembic.runtime.migration import MigrationContext

    return MigrationContext.configure(connection).get_current_revision()


def migrate(engine: Engine, revision: str = "head") -> None:
    """Bring the tables to this program's revision, or another one that it knows.

    A SQLite file is copied beside itself before it changes.

    PostgreSQL changes its tables inside one transaction, so a failed step leaves them as they were.
    """
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    scripts = ScriptDirectory.from_config(config)
    newest = scripts.get_current_head() if revision == "head" else revision
    with engine.connect() as connection:
        present = revision_of(connection)
    if present == newest:
        return
    if present is not None and present not in {one.revision for one in scripts.walk_revisions()}:
        raise NewerDatabaseError(
            f"the database is of revision {present}, which this program does not know; open it with the "
            "version that wrote it, or a later one"
        )
    path = engine.url.database
    if present is not None and engine.dialect.name == "sqlite" and path:
        file = Path(path)
        copy_sqlite(file, file.with_name(f"{file.name}.before-{newest}"))
    with engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
