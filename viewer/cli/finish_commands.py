"""Commands about the finishes of a job: how they differ, and when one of them is dry."""

from datetime import date
from pathlib import Path

import click

from viewer.cli.options import catalogue_with, finish_of, finish_option, job_argument, print_json, read_job
from viewer.cli.refusal import RefusedError


@click.command()
@job_argument
def differences(job_file: Path, folders: tuple[Path, ...]) -> None:
    """Print how the candidates of JOB differ under each lighting, and which will look alike."""
    from viewer.answers.differences import differences_answer

    print_json(differences_answer(read_job(job_file, folders), catalogue_with(folders)))


@click.command()
@job_argument
@finish_option
@click.option("--start", required=True, metavar="YYYY-MM-DD", help="First day on which someone can work.")
@click.option("--zone", required=True, metavar="ZONE", help="IANA time zone, such as Europe/London.")
@click.option("--weekends", is_flag=True, help="Work goes on at weekends; drying always does.")
def schedule(
    job_file: Path, folders: tuple[Path, ...], finish_name: str | None, start: str, zone: str, weekends: bool
) -> None:
    """Print when each coat of JOB goes on and is dry, and the first day for fixing over the cloth."""
    from finishes.choice import a_day
    from finishes.schedule import UnknownZoneError
    from viewer.answers.schedule import schedule_answer

    job = read_job(job_file, folders)
    finish, label = finish_of(job, finish_name, folders)
    try:
        first = date.fromisoformat(a_day(start))
    except ValueError as error:
        raise RefusedError([("--start", str(error))]) from None
    try:
        answer = schedule_answer(
            job, finish, label, catalogue_with(folders), start=first, zone=zone, weekends=weekends
        )
    except UnknownZoneError as error:
        raise RefusedError([("--zone", str(error))]) from None
    print_json(answer)
