"""Arguments that several commands share, and reading the job, the finish and the prices they name."""

import json
import sys
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from viewer.catalogue import catalogue_of, names_of
from viewer.cli.refusal import NO_ACCESS, RefusedError
from viewer.job.accepted import listed, nearest, shown
from viewer.job.check import JobError, check_text
from viewer.job.model import Job
from viewer.job.reading import MAX_BYTES
from viewer.settings import Settings

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue
    from finishes.choice import Finish
    from meshes.cutting.plan import Plan
    from viewer.answers.quantities import Better
    from viewer.estimate.prices import PriceList

Command = Callable[..., Any]


def settings_of() -> Settings:
    """The settings that the running command was started with."""
    found: Settings = click.get_current_context().find_root().obj
    return found


def catalogue_option(command: Command) -> Command:
    """``--catalogue DIR`` (repeatable): further catalogue folders, after those of the settings."""
    return click.option(
        "--catalogue",
        "folders",
        multiple=True,
        metavar="DIR",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        help="Read further catalogue files from DIR; may be given more than once.",
    )(command)


def job_argument(command: Command) -> Command:
    """The job file, or ``-`` for standard input, with ``--catalogue``."""
    return click.argument("job_file", metavar="JOB", type=click.Path(path_type=Path))(
        catalogue_option(command)
    )


def finish_option(command: Command) -> Command:
    """``--finish NAME``: a candidate other than the chosen finish."""
    return click.option(
        "--finish", "finish_name", metavar="NAME", help="A candidate by name; left out, the chosen finish."
    )(command)


def prices_option(command: Command) -> Command:
    """``--prices FILE``: a price list other than the setting's."""
    return click.option(
        "--prices",
        metavar="FILE",
        type=click.Path(path_type=Path),
        help="A price list (.toml or .csv); left out, the setting's, or none.",
    )(command)


def output_option(command: Command) -> Command:
    """``-o FILE``: where the answer goes."""
    return click.option(
        "-o",
        "--output",
        required=True,
        metavar="FILE",
        type=click.Path(path_type=Path, dir_okay=False),
        help="File to write; it appears whole or not at all.",
    )(command)


def prove_option(command: Command) -> Command:
    """``--prove SECONDS``: how long a better cutting plan, and the proof that there is none, may take."""
    return click.option(
        "--prove",
        "prove_s",
        metavar="SECONDS",
        type=click.IntRange(0, 600),
        help="Look that long at most for a cutting plan that is proven best; 0 keeps the first plan; left "
        "out, the setting's (a pack then keeps the first plan where no proof ends in time).",
    )(command)


def proving(seconds: int | None) -> "Better | None":
    """What a command makes of a first cutting plan; None keeps it. Says on a terminal how far it is."""
    limit_s = settings_of().prove_seconds if seconds is None else seconds
    if not limit_s:
        return None
    from meshes.cutting.plan import proven_cutting

    def tell(done: int, parts: int) -> None:
        if sys.stderr.isatty():
            click.echo(f"\rproving the cutting plan: part {done} of {parts}", err=True, nl=done == parts)

    return lambda plan: plan if plan.proven else proven_cutting(plan, time_limit_s=limit_s, progress=tell)


def proven_or_first(better: "Better | None") -> "Better | None":
    """Take a better plan only where its proof ended: what a clock cut off differs from run to run."""
    if better is None:
        return None

    def settled(plan: "Plan") -> "Plan":
        found = better(plan)
        return found if found.proven else plan

    return settled


def catalogue_with(folders: tuple[Path, ...]) -> Any:
    """The catalogue with the folders of the settings and of the command; its faults refuse the command."""
    try:
        return catalogue_of((*settings_of().catalogue, *folders), settings_of().cache_dir)
    except ValueError as error:
        faults = getattr(error, "problems", (str(error),))
        raise RefusedError(("catalogue", fault) for fault in faults) from None


def unknown_names(catalogue: "Catalogue", named: Mapping[str, Iterable[str]]) -> list[tuple[str, str]]:
    """A problem for each name that the catalogue does not have, by kind, with the nearest that it has."""
    problems = []
    for kind, names in named.items():
        known = list(catalogue.entries(kind))
        for name in names:
            if name not in known:
                close = nearest(name, known)
                offer = f"the nearest is {shown(close)}" if close else f"known: {listed(known)}"
                problems.append((f"--{kind}", f"{shown(name)} is unknown; {offer}"))
    return problems


def _bytes(job_file: Path) -> bytes:
    if str(job_file) == "-":
        return sys.stdin.buffer.read(MAX_BYTES + 1)
    try:
        with job_file.open("rb") as file:
            return file.read(MAX_BYTES + 1)
    except OSError as error:
        raise RefusedError([(str(job_file), f"cannot be read: {error.strerror}")]) from None


def read_job(job_file: Path, folders: tuple[Path, ...] = ()) -> Job:
    """The checked job of a file. Raises ``JobError`` with every problem, ``RefusedError`` for no file."""
    return read_document(job_file, folders)[0]


def read_document(job_file: Path, folders: tuple[Path, ...] = ()) -> tuple[Job, dict[str, Any]]:
    """The same with its plain data, notes included: what a version is the digest of."""
    result = check_text(_bytes(job_file), names=names_of(catalogue_with(folders)))
    if result.job is None:
        raise JobError(result.problems)
    return result.job, result.document


def finish_of(job: Job, name: str | None, folders: tuple[Path, ...] = ()) -> "tuple[Finish, str]":
    """The finish that a command works with, and what it is called."""
    from viewer.calling import called
    from viewer.job.choices import ChoiceError, finish_named

    try:
        finish = finish_named(job, name)
    except ChoiceError as error:
        raise RefusedError((f"--{path}", message) for path, message in error.problems) from None
    return finish, name or called(job, finish, catalogue_with(folders))


def prices_of(path: Path | None) -> "PriceList | None":
    """The price list of a file; its faults refuse the command."""
    if path is None:
        return None
    from viewer.estimate.prices import PriceListError
    from viewer.price_list import price_list_of

    try:
        return price_list_of(path)
    except PriceListError as error:
        raise RefusedError(error.problems) from None


def folder_of(path: Path) -> None:
    """Refuse a file in a folder that is not there before minutes are spent on its contents."""
    if not path.parent.is_dir():
        raise RefusedError([("--output", f"{path.parent}: no such folder")], code=NO_ACCESS)


def print_json(value: Any) -> None:
    """One JSON value on standard output, as UTF-8."""
    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)
    sys.stdout.buffer.write(f"{text}\n".encode())
