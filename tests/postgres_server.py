"""A PostgreSQL server of Debian's for store tests: an unprivileged user's, behind a socket of its own."""

import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from itertools import count
from pathlib import Path
from pwd import getpwnam

import pytest

USERS = ("postgres", "nobody")
"""initdb refuses the administrator; the first of these that the machine has runs the server then."""
STARTS_WITHIN_S = 30

_numbers = count(1)


def binaries() -> Path | None:
    """The folder of the newest server that is installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]))
    return found[-1].parent if found else None


def unprivileged() -> dict[str, int]:
    """What a process is started with, so that it is nobody's administrator."""
    if os.getuid() != 0:
        return {}
    for name in USERS:
        try:
            known = getpwnam(name)
        except KeyError:
            continue
        return {"user": known.pw_uid, "group": known.pw_gid}
    pytest.skip("no unprivileged user for a PostgreSQL server")


@contextmanager
def running() -> Iterator[str]:
    """Address of a server without a database's name; it ends with its folder."""
    programs = binaries()
    if programs is None:
        pytest.skip("postgresql is not installed")
    if find_spec("psycopg") is None:
        pytest.skip("psycopg is not installed")
    runs_as = unprivileged()
    folder = Path(tempfile.mkdtemp(prefix="slatwright-postgres-"))
    if runs_as:
        os.chown(folder, runs_as["user"], runs_as["group"])
    options = {"cwd": folder, "stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, **runs_as}
    server = None
    try:
        made = "-D data -U tests -A trust -E UTF8 --locale=C --no-sync".split()
        subprocess.run([str(programs / "initdb"), *made], check=True, **options)  # type: ignore[call-overload]
        # nothing here has to outlive a power cut; nobody reaches it but by the socket
        quick = "-c fsync=off -c full_page_writes=off -c synchronous_commit=off".split()
        starts = [
            str(programs / "postgres"),
            "-D",
            "data",
            "-k",
            str(folder),
            "-c",
            "listen_addresses=",
            *quick,
        ]
        server = subprocess.Popen(starts, **options)  # type: ignore[call-overload]
        _wait(programs, folder)
        yield f"postgresql://tests@/{{name}}?host={folder}"
    finally:
        if server is not None:
            server.send_signal(signal.SIGINT)  # at once: a failed test may have left a connection open
            server.wait(timeout=STARTS_WITHIN_S)
        shutil.rmtree(folder, ignore_errors=True)


def _wait(programs: Path, folder: Path) -> None:
    ends = time.monotonic() + STARTS_WITHIN_S
    asks = [str(programs / "pg_isready"), "-q", "-h", str(folder), "-U", "tests", "-d", "postgres"]
    while subprocess.run(asks, check=False).returncode != 0:
        if time.monotonic() > ends:
            raise TimeoutError(f"PostgreSQL did not start within {STARTS_WITHIN_S} s")
        time.sleep(0.05)


def fresh_database(server: str) -> str:
    """Address of a new, empty database of the server."""
    import psycopg

    name = f"t{next(_numbers)}"
    with psycopg.connect(server.format(name="postgres"), autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return server.format(name=name)
