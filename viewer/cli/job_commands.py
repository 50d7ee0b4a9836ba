"""Commands that take a job and print or write what follows from it."""

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from viewer.cli.options import (
    catalogue_with,
    job_argument,
    output_option,
    print_json,
    prove_option,
    proving,
    read_job,
    settings_of,
)
from viewer.cli.refusal import NO_ACCESS, RefusedError

if TYPE_CHECKING:
    from finishes.choice import Finish
    from viewer.estimate.prices import PriceList
    from viewer.job.model import Job
    from viewer.picture import Studio

Command = Callable[..., Any]

THINGS = ("furniture", "person", "card", "steps", "doors")
"""Those of ``viewer.things``, which takes longer to import than the answer to a mistyped name."""


def finish_option(command: Command) -> Command:
    """``--finish NAME``: a candidate other than the chosen finish."""
    return click.option(
        "--finish", "finish_name", metavar="NAME", help="A candidate by name; left out, the chosen finish."
    )(command)


def size_option(default: str) -> Callable[[Command], Command]:
    """``--size WxH`` in pixels."""
    return click.option(
        "--size", metavar="WxH", default=default, show_default=True, help="Width and height in pixels."
    )


def view_option(command: Command) -> Command:
    """``--view``: a named view or a camera as JSON."""
    return click.option(
        "--view",
        default="front",
        show_default=True,
        metavar="VIEW",
        help="front, seated, left, right, close, wall-2 and so on for walls round corners, or a camera "
        "as JSON (text, or the name of a .json file).",
    )(command)


def finish_of(job: "Job", name: str | None, folders: tuple[Path, ...] = ()) -> "tuple[Finish, str]":
    """The finish that a command works with, and what it is called."""
    from viewer.calling import called
    from viewer.job.choices import ChoiceError, finish_named

    try:
        finish = finish_named(job, name)
    except ChoiceError as error:
        raise RefusedError((f"--{path}", message) for path, message in error.problems) from None
    return finish, name or called(job, finish, catalogue_with(folders))


def studio_of(job: "Job", folders: tuple[Path, ...], things: tuple[str, ...] = ()) -> "Studio":
    """The studio of a picture command, with what is to stand in the room."""
    from viewer.light_store import light_store
    from viewer.picture import Studio
    from viewer.things import extras_of

    store = light_store(settings_of())
    return Studio(job, catalogue_with(folders), extras=extras_of(job, things), store=store)


def traced_studio(job: "Job", folders: tuple[Path, ...], samples: int) -> "Studio":
    """The studio of a reference; says on a terminal how far it is."""
    from viewer.reference import ReferenceStudio

    def tell(share: float) -> None:
        if sys.stderr.isatty():
            click.echo(f"\rtraced {share:.0%}", err=True, nl=share >= 1)

    return ReferenceStudio(job, catalogue_with(folders), samples=samples, progress=tell)


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


def frame_of(size: str, view: str, *, plain: bool, marked: bool = False) -> Any:
    """The frame of a picture command; refuses sizes and endings that cannot be made."""
    from viewer.frame import Frame

    numbers = re.fullmatch(r"([0-9]{1,6})[x×]([0-9]{1,6})", size.strip())
    if not numbers:
        raise RefusedError([("--size", f"{size!r} is no size; expected WxH in pixels, such as 1600x900")])
    if view.endswith(".json"):
        try:
            view = Path(view).read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise RefusedError([("--view", f"{view} cannot be read: {error}")]) from None
    frame = Frame(view=view, width=int(numbers[1]), height=int(numbers[2]), plain=plain, marked=marked)
    problems = frame.problems()
    if problems:
        raise RefusedError(
            (f"--size {path}" if path != "size" else "--size", text) for path, text in problems
        )
    return frame


def ending_of(path: Path, endings: tuple[str, ...]) -> None:
    """Refuse a file name whose ending says nothing."""
    if path.suffix.lower() not in endings:
        accepted = ", ".join(endings)
        raise RefusedError([("--output", f"{path.name}: expected a name that ends in one of {accepted}")])


def folder_of(path: Path) -> None:
    """Refuse a file in a folder that is not there before minutes are spent on its contents."""
    if not path.parent.is_dir():
        raise RefusedError([("--output", f"{path.parent}: no such folder")], code=NO_ACCESS)


def made(studio: "Studio", frame: Any, work: Callable[[], Any]) -> Any:
    """The work of a picture, its named errors turned into refusals."""
    from meshes.stills.given import ViewError
    from meshes.stills.gl import GraphicsError
    from meshes.stills.reference import ReferenceMissingError

    try:
        studio.camera(frame)
        return work()
    except ViewError as error:
        raise RefusedError((f"--{path}", message) for path, message in error.problems) from None
    except GraphicsError as error:
        raise RefusedError([("graphics", str(error))], code=NO_ACCESS) from None
    except ReferenceMissingError as error:
        raise RefusedError([("--reference", str(error))], code=NO_ACCESS) from None


@click.command("set-out")
@job_argument
def set_out(job_file: Path, folders: tuple[Path, ...]) -> None:
    """Print where every slat and panel of JOB goes."""
    from viewer.answers.set_out import set_out_answer

    print_json(set_out_answer(read_job(job_file, folders)))


@click.command("take-off")
@job_argument
@finish_option
@click.option(
    "--prices",
    metavar="FILE",
    type=click.Path(path_type=Path),
    help="A price list (.toml or .csv); left out, the setting's, or none.",
)
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


@click.command()
@job_argument
@output_option
@finish_option
@click.option("--lighting", metavar="NAME", help="A lighting of the job; left out, its first one.")
@view_option
@size_option("1600x900")
@click.option("--plain", is_flag=True, help="Leave out figure, gloss and foot: for measuring.")
@click.option(
    "--marked", is_flag=True, help="Mark joints, shadow gaps, plates, overhangs and the line of the heads."
)
@click.option(
    "--with",
    "with_things",
    multiple=True,
    type=click.Choice(THINGS),
    help="Grey blocks before hidden zones, a person of 1.7 m, a white card with a grey scale, or slats that "
    "stand 0.3 mm before or behind each other; may be given more than once.",
)
@click.option(
    "--evening-feel",
    is_flag=True,
    help="Leave some of the lamps' colour in the picture, with a white card in it: to feel the room, not to "
    "choose by.",
)
@click.option(
    "--reference",
    is_flag=True,
    help="Trace the picture by an independent path tracer (plain; needs the extra 'reference'; minutes).",
)
@click.option(
    "--samples",
    type=click.IntRange(1, 100_000),
    default=256,
    show_default=True,
    help="Paths a pixel of the reference.",
)
def still(
    job_file: Path,
    folders: tuple[Path, ...],
    output: Path,
    finish_name: str | None,
    lighting: str | None,
    view: str,
    size: str,
    plain: bool,
    marked: bool,
    with_things: tuple[str, ...],
    evening_feel: bool,
    reference: bool,
    samples: int,
) -> None:
    """Write one picture of JOB: .png or .jpg for people, .npy (with a camera in .json) for measuring."""
    from viewer.still_file import ENDINGS, still_files

    ending_of(output, ENDINGS)
    if reference and (marked or with_things or evening_feel):
        words = "is plain; expected neither --with nor --marked nor --evening-feel beside it"
        raise RefusedError([("--reference", words)])
    if evening_feel and (plain or output.suffix.lower() == ".npy"):
        words = "is for people; expected neither --plain nor a .npy beside it"
        raise RefusedError([("--evening-feel", words)])
    frame = frame_of(size, view, plain=plain or reference, marked=marked)
    job = read_job(job_file, folders)
    finish, label = finish_of(job, finish_name, folders)
    chosen = lighting_of(job, lighting)
    folder_of(output)
    from finishes.adaptation import EVENING_FEEL, FULL
    from viewer.files import write_all
    from viewer.things import raking_notes

    things = (*with_things, "card") if evening_feel else with_things
    studio = traced_studio(job, folders, samples) if reference else studio_of(job, folders, things)
    degree = EVENING_FEEL if evening_feel else FULL
    write_all(
        made(
            studio,
            frame,
            lambda: still_files(studio, frame, chosen, finish, label=label, path=output, degree=degree),
        )
    )
    if not frame.plain:
        for note in raking_notes(job, chosen):
            click.echo(note if "steps" in things else f"{note} --with steps shows them.", err=True)


def lighting_of(job: "Job", name: str | None) -> Any:
    """The lighting that a picture command works with."""
    from viewer.job.choices import ChoiceError, lighting_named

    try:
        return lighting_named(job, name)
    except ChoiceError as error:
        raise RefusedError((f"--{path}", message) for path, message in error.problems) from None


@click.command()
@job_argument
@output_option
@view_option
@size_option("640x360")
def board(job_file: Path, folders: tuple[Path, ...], output: Path, view: str, size: str) -> None:
    """Write every candidate under every lighting of JOB side by side, as one .png or .jpg."""
    from viewer.board import board_image, board_problems
    from viewer.files import write
    from viewer.still_file import image_bytes

    ending_of(output, (".png", ".jpg", ".jpeg"))
    frame = frame_of(size, view, plain=False)
    job = read_job(job_file, folders)
    folder_of(output)
    too_much = board_problems(job, frame)
    if too_much:
        raise RefusedError((f"--{path}", message) for path, message in too_much)
    studio = studio_of(job, folders)
    image, words = made(studio, frame, lambda: board_image(studio, job, frame))
    write(output, image_bytes(image, output.suffix.lower(), words))
