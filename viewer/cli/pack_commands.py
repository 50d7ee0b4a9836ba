"""Commands for paper and for what changed: the pack of a job, and two versions of one beside each other."""

import re
from pathlib import Path
from typing import Literal
from urllib.parse import urlsplit

import click

from viewer.cli.options import (
    catalogue_option,
    catalogue_with,
    finish_of,
    finish_option,
    job_argument,
    prices_of,
    prices_option,
    print_json,
    prove_option,
    proven_or_first,
    proving,
    read_document,
    settings_of,
)
from viewer.cli.refusal import NO_ACCESS, RefusedError


def is_web_address(address: str) -> bool:
    """Whether a code may carry it: http or https with a host, no white space, nothing after the path."""
    parts = urlsplit(address)
    plain = not re.search(r"\s", address) and not parts.query and not parts.fragment
    return parts.scheme in ("http", "https") and bool(parts.hostname) and plain


@click.command()
@job_argument
@click.option(
    "-o",
    "--output",
    required=True,
    metavar="DIR",
    type=click.Path(path_type=Path),
    help="Folder to write to; made if it is not there. All files appear or none.",
)
@finish_option
@prices_option
@click.option(
    "--paper",
    type=click.Choice(["A4", "Letter"], case_sensitive=False),
    default="A4",
    show_default=True,
    help="Size of the sheets.",
)
@click.option(
    "--address",
    metavar="URL",
    default="",
    help="Where the job's pages stand; a label's code then opens its panel's page, else it holds the words.",
)
@prove_option
def pack(
    job_file: Path,
    folders: tuple[Path, ...],
    output: Path,
    finish_name: str | None,
    prices: Path | None,
    paper: Literal["A4", "Letter"],
    address: str,
    prove_s: int | None,
) -> None:
    """Write everything for client, shop and workshop: sheets, lists, drawings, files for machines."""
    if address and not is_web_address(address):
        raise RefusedError(
            [("--address", f"{address!r} is no address; expected http:// or https://, a host")]
        )
    job, document = read_document(job_file, folders)
    finish, label = finish_of(job, finish_name)
    listed = prices_of(prices or settings_of().prices)
    if output.exists() and not output.is_dir():
        raise RefusedError([("--output", f"{output} is a file; expected a folder")], code=NO_ACCESS)
    from viewer.pack.files import pack_files
    from viewer.pack.folder import write_pack

    files = pack_files(
        job=job,
        document=document,
        finish=finish,
        label=label,
        catalogue=catalogue_with(folders),
        prices=listed,
        paper=paper,
        address=address,
        better=proven_or_first(proving(None)) if prove_s is None else proving(prove_s),
    )
    write_pack(output, files)


@click.command()
@click.argument("old", metavar="OLD", type=click.Path(path_type=Path))
@click.argument("new", metavar="NEW", type=click.Path(path_type=Path))
@catalogue_option
@prices_option
def changes(old: Path, new: Path, folders: tuple[Path, ...], prices: Path | None) -> None:
    """Print what changed from the job OLD to the job NEW, in words and quantities."""
    from viewer.answers.changes import changes_answer

    listed = prices_of(prices or settings_of().prices)
    versions = [read_document(path, folders) for path in (old, new)]
    print_json(changes_answer(versions[0], versions[1], catalogue_with(folders), listed))
