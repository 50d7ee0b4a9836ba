"""``slatwright prices``: a price list to fill in, a line for everything that a job needs."""

import sys
from pathlib import Path

import click

from viewer.cli.options import (
    catalogue_with,
    finish_of,
    finish_option,
    folder_of,
    job_argument,
    read_job,
)
from viewer.cli.refusal import RefusedError


@click.command()
@job_argument
@finish_option
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="A .csv to write; left out, standard output. A file that is there already is never replaced.",
)
def prices(job_file: Path, folders: tuple[Path, ...], finish_name: str | None, output: Path | None) -> None:
    """Write a price list for JOB with every price still empty, to fill in and give to --prices."""
    job = read_job(job_file, folders)
    finish, _label = finish_of(job, finish_name, folders)
    if output is not None:
        if output.suffix.lower() != ".csv":
            raise RefusedError([("--output", f"{output.name} has another ending; expected .csv")])
        if output.exists():
            raise RefusedError([("--output", f"{output.name} is there already; expected a new name")])
        folder_of(output)
    from viewer.answers.quantities import quantities
    from viewer.estimate.reading import template
    from viewer.files import write

    needed = quantities(job, finish, catalogue_with(folders))
    if needed.priced is None:
        raise RefusedError(needed.no_plan)
    text = template(needed.priced.needs).encode()
    if output is None:
        sys.stdout.buffer.write(text)
    else:
        write(output, text)
