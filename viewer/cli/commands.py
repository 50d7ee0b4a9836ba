"""The commands. Each parses its arguments, asks one function, and prints or writes what that gives."""

from pathlib import Path

import click

from viewer.cli import job_commands, pack_commands, picture_commands, record_commands
from viewer.cli.ballpark_command import ballpark
from viewer.cli.chart_command import chart
from viewer.cli.finish_commands import differences, schedule
from viewer.cli.options import (
    catalogue_option,
    catalogue_with,
    print_json,
    settings_of,
)
from viewer.cli.prices_command import prices
from viewer.cli.run_command import run
from viewer.cli.sample_command import sample
from viewer.settings import load, shown


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="slatwright", message="%(package)s %(version)s")
@click.pass_context
def slatwright(context: click.Context) -> None:
    """Set out, see, price and sign off a wooden slat feature wall before the first cut."""
    context.obj = load()


@slatwright.command()
def schema() -> None:
    """Print the JSON Schema of the job file, with every default and limit."""
    from viewer.job.schema import job_schema

    print_json(job_schema())


@slatwright.command()
def settings() -> None:
    """Print every setting with its value; secrets are masked."""
    print_json(shown(settings_of()))


@slatwright.command()
@catalogue_option
def catalogue(folders: tuple[Path, ...]) -> None:
    """Print the names that a job can use, by kind, each with state and source."""
    from viewer.answers.catalogue import catalogue_answer

    print_json(catalogue_answer(catalogue_with(folders)))


@slatwright.command()
@click.option(
    "-o",
    "--output",
    default="out",
    show_default=True,
    metavar="DIR",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder to write to; made if it is not there.",
)
@picture_commands.size_option("1280x720")
def demo(output: Path, size: str) -> None:
    """Write the pack of the built-in job, with stills by day and evening and a board."""
    from viewer.cli.demo_files import write_demo

    write_demo(output, size)


for command in (
    job_commands.set_out,
    job_commands.take_off,
    job_commands.appearance,
    picture_commands.still,
    job_commands.glb,
    picture_commands.board,
    chart,
    sample,
    ballpark,
    prices,
    differences,
    schedule,
    pack_commands.pack,
    pack_commands.changes,
    record_commands.verify,
    record_commands.record,
    record_commands.erase,
    record_commands.backup,
    record_commands.restore,
    record_commands.owner,
    run,
):
    slatwright.add_command(command)
