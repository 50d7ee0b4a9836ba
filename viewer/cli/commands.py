"""The commands. Each parses its arguments, asks one function, and prints or writes what that gives."""

from pathlib import Path

import click

from viewer.cli import job_commands, pack_commands, record_commands
from viewer.cli.chart_command import chart
from viewer.cli.options import (
    catalogue_option,
    catalogue_with,
    print_json,
    settings_of,
)
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
@click.option("--demo", is_flag=True, help="Open the built-in job (also what is opened without this).")
@click.option(
    "--port",
    type=click.IntRange(0, 65535),
    help="Port to listen on, 0 for a free one; left out, the setting's or, if that is taken, a free one.",
)
def run(demo: bool, port: int | None) -> None:
    """Open the web application on this machine and print its address."""
    from viewer import create_app
    from viewer.log import configure
    from viewer.serve import listening_socket, serve

    chosen = settings_of()
    catalogue_with(())
    job_commands.prices_of(chosen.prices)
    configure(chosen.log_level)
    record_commands.ready_store(demo=demo)
    listening = listening_socket(chosen.host, chosen.port if port is None else port, or_free=port is None)
    path = "jobs/demo/" if demo else ""
    serve(create_app(chosen), chosen, listening, say=lambda address: click.echo(f"{address}{path}"))


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
@job_commands.size_option("1280x720")
def demo(output: Path, size: str) -> None:
    """Write the pack of the built-in job, with stills by day and evening and a board."""
    from viewer.cli.demo_files import write_demo

    write_demo(output, size)


for command in (
    job_commands.set_out,
    job_commands.take_off,
    job_commands.appearance,
    job_commands.still,
    job_commands.glb,
    job_commands.board,
    chart,
    pack_commands.pack,
    pack_commands.changes,
    record_commands.verify,
    record_commands.record,
    record_commands.backup,
    record_commands.restore,
    record_commands.owner,
):
    slatwright.add_command(command)
