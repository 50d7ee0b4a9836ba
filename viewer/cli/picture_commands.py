"""Commands that make pictures of a job: one still, or every finish under every lighting side by side."""

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from viewer.cli.options import (
    Command,
    catalogue_with,
    finish_of,
    finish_option,
    folder_of,
    job_argument,
    output_option,
    read_job,
    settings_of,
)
from viewer.cli.refusal import NO_ACCESS, RefusedError
from viewer.frame import THINGS, Frame

if TYPE_CHECKING:
    from viewer.job.model import Job
    from viewer.picture import Studio


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


def frame_of(size: str, view: str, *, plain: bool, marked: bool = False) -> Frame:
    """The frame of a picture command; refuses sizes and endings that cannot be made."""
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


def lighting_of(job: "Job", name: str | None) -> Any:
    """The lighting that a picture command works with."""
    from viewer.job.choices import ChoiceError, lighting_named

    try:
        return lighting_named(job, name)
    except ChoiceError as error:
        raise RefusedError((f"--{path}", message) for path, message in error.problems) from None


def made(studio: "Studio", frame: Frame, work: Callable[[], Any]) -> Any:
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
    help="Grey blocks before hidden zones, a person of 1.7 m, a white card with a grey scale, slats that "
    "stand 0.3 mm before or behind each other, or doors whose leaf folds back before the slats, standing "
    "open; may be given more than once.",
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
