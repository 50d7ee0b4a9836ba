"""Commands that take a job and print or write what follows from it; ``picture_commands`` has its pictures."""

from pathlib import Path

import click

from viewer.cli.options import (
    catalogue_with,
    finish_of,
    finish_option,
    folder_of,
    job_argument,
    output_option,
    prices_of,
    prices_option,
    print_json,
    prove_option,
    proving,
    read_job,
    settings_of,
)


@click.command("set-out")
@job_argument
def set_out(job_file: Path, folders: tuple[Path, ...]) -> None:
    """Print where every slat and panel of JOB goes."""
    from viewer.answers.set_out import set_out_answer

    print_json(set_out_answer(read_job(job_file, folders)))


@click.command("take-off")
@job_argument
@finish_option
@prices_option
@prove_option
def take_off(
    job_file: Path,
    folders: tuple[Path, ...],
    finish_name: str | None,
    prices: Path | None,
    prove_s: int | None,
) -> None:
    """Print what JOB needs: areas, stain, topcoat, fabric, timber, sheets, and the price."""
    from viewer.answers.take_off import take_off_answer

    job = read_job(job_file, folders)
    finish, label = finish_of(job, finish_name, folders)
    listed = prices_of(prices or settings_of().prices)
    better = proving(prove_s)
    print_json(take_off_answer(job, finish, label, catalogue_with(folders), listed, better))


@click.command()
@job_argument
@finish_option
def appearance(job_file: Path, folders: tuple[Path, ...], finish_name: str | None) -> None:
    """Print the spectrum and colour of every visible surface of JOB, and how each lighting shows it."""
    from viewer.answers.appearance import appearance_answer

    job = read_job(job_file, folders)
    finish, label = finish_of(job, finish_name, folders)
    print_json(appearance_answer(job, finish, label, catalogue_with(folders)))


@click.command()
@job_argument
@output_option
def glb(job_file: Path, folders: tuple[Path, ...], output: Path) -> None:
    """Write the wall and its room as GLB (metres, Y up)."""
    from viewer.answers.glb import glb_answer
    from viewer.files import write

    job = read_job(job_file, folders)
    folder_of(output)
    write(output, glb_answer(job, catalogue_with(folders)))
