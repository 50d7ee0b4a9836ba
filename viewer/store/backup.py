"""A backup: every row of every table and the record key, in one ZIP that either database can be filled from.

::

    backup.json               {"format": 1, "kind": "slatwright backup", "revision": "0002"}
    record-key                the key that signs records
    tables/<name>.jsonl       one row a line; bytes as {"base64": "…"}

Rows are read inside one transaction, so that they belong together. A backup of an earlier revision is filled
in at that revision and then migrated. Sessions are left out: nobody stays signed in through a backup.
"""

import base64
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, MetaData, Table, func, insert, select

from viewer.files import write
from viewer.store.database import migrate, revision_of

FORMAT = 1
KIND = "slatwright backup"
LEFT_OUT = frozenset({"alembic_version", "sessions", "codes", "tries"})
MOST_BYTES = 4 << 30
"""Unpacked; a backup that claims more is not one of ours."""
AT_ONCE = 500


class BackupError(ValueError):
    """The file is no backup, or the database is not empty; the message says what would be accepted."""


def backup_bytes(engine: Engine, key_file: Path) -> bytes:
    """The bytes of a backup of a migrated database."""
    tables = MetaData()
    packed = io.BytesIO()
    with (
        zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive,
        engine.connect() as connection,
        connection.begin(),
    ):
        tables.reflect(connection)
        head = {"format": FORMAT, "kind": KIND, "revision": revision_of(connection)}
        archive.writestr("backup.json", json.dumps(head, indent=2) + "\n")
        archive.writestr("record-key", key_file.read_bytes())
        for table in tables.sorted_tables:
            if table.name not in LEFT_OUT:
                archive.writestr(f"tables/{table.name}.jsonl", "".join(_lines(connection, table)))
    return packed.getvalue()


def _lines(connection: Connection, table: Table) -> Iterator[str]:
    for row in connection.execute(select(table)).mappings():
        values = {
            name: {"base64": base64.b64encode(value).decode()} if isinstance(value, bytes) else value
            for name, value in row.items()
        }
        yield json.dumps(values, ensure_ascii=False) + "\n"


def restore_bytes(data: bytes, engine: Engine, key_file: Path) -> dict[str, int]:
    """Fill an empty database from a backup; returns rows by table. All or nothing.

    Raises ``BackupError``; an existing key that differs is not replaced, for it vouches for other records.
    """
    contents = _read(data)
    head = json.loads(contents.pop("backup.json"))
    key = contents.pop("record-key")
    if key_file.exists() and key_file.read_bytes() != key:
        raise BackupError(f"{key_file} is another key; move it away first, it vouches for other records")
    migrate(engine, head["revision"])
    with engine.connect() as connection:
        if revision_of(connection) != head["revision"]:
            raise BackupError("the database is of a later revision than the backup; give an empty one")
    counts: dict[str, int] = {}
    tables = MetaData()
    with engine.begin() as connection:
        tables.reflect(connection)
        for table in tables.sorted_tables:
            if table.name in LEFT_OUT:
                continue
            if connection.scalar(select(func.count()).select_from(table)):
                raise BackupError(f"the database is not empty: {table.name} has rows; give an empty one")
            rows = [_row(line) for line in contents.get(f"tables/{table.name}.jsonl", b"").splitlines()]
            for start in range(0, len(rows), AT_ONCE):
                connection.execute(insert(table), rows[start : start + AT_ONCE])
            counts[table.name] = len(rows)
        if not key_file.exists():
            write(key_file, key)
            key_file.chmod(0o600)
    migrate(engine)
    return counts


def _row(line: bytes) -> dict[str, Any]:
    return {
        name: base64.b64decode(value["base64"]) if isinstance(value, dict) else value
        for name, value in json.loads(line).items()
    }


def _read(data: bytes) -> dict[str, bytes]:
    """The parts of a backup by name, after everything was checked that can be without a database."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            if sum(part.file_size for part in archive.infolist()) > MOST_BYTES:
                raise BackupError("unpacks to more than 4 GB; this is no backup of slatwright")
            contents = {part.filename: archive.read(part) for part in archive.infolist()}
        head = json.loads(contents["backup.json"])
        known = head["kind"] == KIND and isinstance(head["revision"], str) and "record-key" in contents
    except (zipfile.BadZipFile, KeyError, TypeError, ValueError) as error:
        if isinstance(error, BackupError):
            raise
        raise BackupError("this is no backup of slatwright") from None
    if not known:
        raise BackupError("this is no backup of slatwright")
    if head["format"] != FORMAT:
        raise BackupError(f"format {head['format']} is not known here; this program reads format {FORMAT}")
    return contents
