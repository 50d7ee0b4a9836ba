"""Commands about what must not be lost: records, backups, and who may sign in."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from viewer.cli.options import output_option, print_json, settings_of
from viewer.cli.refusal import BAD_INPUT, RefusedError
from viewer.files import write

if TYPE_CHECKING:
    from viewer.store.opening import Store

MOST_RECORD_BYTES = 64 << 20
"""Of a record file: drawn signatures and many stages included, far less is usual."""


def opened_store() -> "Store":
    """The store of the settings; what keeps it from opening refuses the command."""
    from sqlalchemy.exc import SQLAlchemyError

    from viewer.services import Services
    from viewer.signoff.keys import KeyFileError
    from viewer.store.database import DatabaseURLError, NewerDatabaseError

    try:
        return Services(settings_of()).store
    except (DatabaseURLError, NewerDatabaseError) as error:
        raise RefusedError([("SLATWRIGHT_DATABASE_URL", str(error))]) from None
    except KeyFileError as error:
        raise RefusedError([("record-key", str(error))]) from None
    except SQLAlchemyError as error:
        # the message of a driver may hold the address with its password
        raise RefusedError([("SLATWRIGHT_DATABASE_URL", f"no answer ({type(error).__name__})")]) from None


def ready_store(*, demo: bool) -> None:
    """Open and migrate the store before anybody asks for it; with ``demo`` the built-in job is in it."""
    from viewer.demo import demo_bytes
    from viewer.job.check import check_text

    store = opened_store()
    try:
        if settings_of().reachable and not store.accounts.any():
            problem = "the program is reachable from elsewhere, but nobody can sign in: slatwright owner NAME"
            raise RefusedError([("account", problem)])
        if demo:
            store.jobs.keep_as("demo", check_text(demo_bytes()).document)
    finally:
        store.close()


def _file_bytes(path: Path, most: int) -> bytes:
    with path.open("rb") as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise RefusedError([(str(path), f"expected at most {most >> 20} MB")])
    return data


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
@click.option("--key", metavar="FINGERPRINT", help="Fingerprint of the signing key, as printed on the sheet.")
def verify(file: Path, key: str | None) -> int:
    """Check a record file by itself: nothing else is read. Exit 2 when anything in it was altered."""
    from viewer.signoff.verify import verify as verdict_on

    verdict = verdict_on(_file_bytes(file, MOST_RECORD_BYTES), key=key)
    print_json(
        {
            "verdict": verdict.words,
            "intact": verdict.intact,
            "signer_checked": verdict.signer_checked,
            "fingerprint": verdict.fingerprint,
            "entries": verdict.entries,
            "altered": list(verdict.altered),
            "erased": len(verdict.erased),
        }
    )
    return 0 if verdict.intact else BAD_INPUT


@click.command()
@click.argument("job_id", metavar="JOB_ID")
@output_option
def record(job_id: str, output: Path) -> None:
    """Write the record of a kept job: every offer, signature and stage, in one file that proves itself."""
    store = opened_store()
    if not store.records.entries(job_id):
        raise RefusedError([("JOB_ID", f"{job_id} has no record; the job's page shows its id")])
    write(output, store.records.export(job_id))


@click.command()
@click.argument("job_id", metavar="JOB_ID")
def erase(job_id: str) -> None:
    """Erase names, signatures, remarks and photos of a kept job for good; its record goes on verifying."""
    from dataclasses import asdict

    from viewer.store.erasing import erase as erase_people

    store = opened_store()
    if not store.records.entries(job_id):
        raise RefusedError([("JOB_ID", f"{job_id} has no record; the job's page shows its id")])
    print_json(asdict(erase_people(store.engine, job_id)))


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
def backup(file: Path) -> None:
    """Write jobs, photos, offers, records and the record key to one file."""
    from viewer.signoff.keys import FILE_NAME
    from viewer.store.backup import backup_bytes

    store = opened_store()
    write(file, backup_bytes(store.engine, settings_of().data_dir / FILE_NAME))
    file.chmod(0o600)  # it holds people's names and the key


@click.command()
@click.argument("file", metavar="FILE", type=click.Path(path_type=Path, dir_okay=False))
def restore(file: Path) -> None:
    """Fill an empty data folder or database from a backup; prints how many rows came back, by table."""
    from viewer.signoff.keys import FILE_NAME
    from viewer.store.backup import BackupError, restore_bytes
    from viewer.store.database import default_url, engine_for

    settings = settings_of()
    settings.data_dir.mkdir(parents=True, exist_ok=True, mode=0o700)
    address = settings.database_url
    engine = engine_for(address.get_secret_value() if address else default_url(settings.data_dir))
    try:
        counts = restore_bytes(file.read_bytes(), engine, settings.data_dir / FILE_NAME)
    except BackupError as error:
        raise RefusedError([(str(file), str(error))]) from None
    finally:
        engine.dispose()
    print_json(counts)


@click.command()
@click.argument("name", metavar="NAME")
def owner(name: str) -> None:
    """Make the owner's account, or give it another password (read from the terminal or standard input)."""
    from viewer.store.accounts import PasswordError

    if sys.stdin.isatty():
        password = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    else:
        password = sys.stdin.readline().rstrip("\n")
    if not 1 <= len(name.strip()) <= 100:
        raise RefusedError([("NAME", "expected 1 to 100 characters")])
    try:
        opened_store().accounts.set_password(name.strip(), password)
    except PasswordError as error:
        raise RefusedError([("password", str(error))]) from None
