"""``slatwright sample``: a photographed off-cut becomes a measured colour, in a job or a catalogue file."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from finishes.choice import BetweenCoats, Finish, Surface
from viewer.cli.options import (
    Command,
    catalogue_option,
    catalogue_with,
    finish_option,
    folder_of,
    print_json,
    read_document,
    unknown_names,
)
from viewer.cli.refusal import RefusedError

if TYPE_CHECKING:
    from finishes.catalogue import Catalogue
    from finishes.photo import Corners
    from viewer.measuring import Measurement, PhotoGiven

CORNERS = '"X,Y X,Y X,Y X,Y"'
VINTAGES = ("after November 2014", "before November 2014")
OUTLINES = ("off_cut", "chart", "card")
SURFACES: tuple[str, ...] = get_args(Surface)
WAYS: tuple[str, ...] = get_args(BetweenCoats)


def _outline(name: str, words: str, *, required: bool = False) -> Callable[[Command], Command]:
    """An option that takes four corners, once or once a photograph."""
    parameter = f"{name.replace('-', '_')}s"
    return click.option(f"--{name}", parameter, multiple=True, required=required, metavar=CORNERS, help=words)


def _made_of(command: Command) -> Command:
    """What the off-cut was made of, where no job says it."""
    coats = click.IntRange(0, 6)
    for option in (
        click.option("--topcoat", default="", metavar="NAME", help="Its topcoat."),
        click.option("--faces", type=click.Choice(SURFACES), default=SURFACES[0], help="What was stained."),
        click.option(
            "--between-coats", type=click.Choice(WAYS), default=WAYS[0], help="How further coats went on."
        ),
        click.option("--coats", type=coats, default=1, show_default=True, help="Coats of stain."),
        click.option("--stain", default="", metavar="NAME", help="Its tone."),
        click.option("--timber", default="", metavar="NAME", help="Without a job: what it is made of."),
    ):
        command = option(command)
    return command


@click.command()
@click.argument(
    "photos", metavar="PHOTO…", nargs=-1, required=True, type=click.Path(path_type=Path, dir_okay=False)
)
@_outline("off-cut", "The off-cut in pixels: top left, top right, bottom right, bottom left.", required=True)
@_outline("chart", "A 24-patch chart, beginning beside its brown patch; the white one is at the fourth.")
@_outline("card", "Instead of a chart, and rougher: a grey card.")
@click.option("--vintage", type=click.Choice(VINTAGES), default=VINTAGES[0], help="When the chart was made.")
@click.option("--card-y", type=float, default=0.18, show_default=True, help="Luminance factor of the card.")
@click.option("--name", required=True, help="What is written on the back of the off-cut.")
@click.option("--date", required=True, metavar="YYYY-MM-DD", help="Day of the photographs.")
@click.option("--lamp", required=True, help="What lit them, in plain words.")
@click.option(
    "--job", "job_file", metavar="JOB", type=click.Path(path_type=Path), help="Take the finish from this job."
)
@finish_option
@_made_of
@click.option(
    "-o",
    "--output",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Where to keep it: the job as a .json, or a .toml of your catalogue folder, made or added to.",
)
@catalogue_option
def sample(photos: tuple[Path, ...], folders: tuple[Path, ...], output: Path | None, **given: Any) -> None:
    """Measure a stained off-cut on PHOTOs of it beside a 24-patch chart, and keep its colour as Measured.

    Photographs are JPEG, PNG or TIFF, of 8 or 16 bits. Lay the off-cut flat beside the chart under one lamp,
    without flash; three photographs with the chart moved are better than one.
    """
    catalogue = catalogue_with(folders)
    finish, document, place = _finish(given, folders, catalogue)
    if output is not None:
        _can_keep(output, document)
    from viewer.measuring import MeasuringError, measure, measurement_json

    try:
        found = measure(
            _photos(photos, given),
            finish,
            catalogue,
            name=given["name"],
            date=given["date"],
            lamp=given["lamp"],
            separately=False,
        )
    except MeasuringError as error:
        raise RefusedError((_path(path, photos), message) for path, message in error.problems) from None
    answer = measurement_json(found)
    if output is not None:
        _keep(output, found, document, place)
        answer["kept_in"] = str(output)
    print_json(answer)


def _path(path: str, photos: tuple[Path, ...]) -> str:
    """``photo[1].chart`` as ``second.jpg, --chart``; ``date`` as ``--date``."""
    if not path.startswith("photo["):
        return f"--{path}"
    number, _, about = path.removeprefix("photo[").partition("]")
    option = f"--{about.removeprefix('.').replace('_', '-')}" if about else ""
    return ", ".join(filter(None, (photos[int(number)].name, option)))


def _finish(
    given: dict[str, Any], folders: tuple[Path, ...], catalogue: "Catalogue"
) -> tuple[Finish, dict[str, Any] | None, str]:
    """The finish that was stained, with its job's document and its place there."""
    if given["job_file"] is None:
        kinds = ("timber", "stain", "topcoat")
        problems = unknown_names(catalogue, {kind: (given[kind],) for kind in kinds if given[kind]})
        if given["finish_name"]:
            problems.append(("--finish", "names a candidate of a job; expected --job as well"))
        if problems:
            raise RefusedError(problems)
        names = ("timber", "stain", "coats", "between_coats", "faces", "topcoat")
        return Finish(**{name: given[name] for name in names}), None, ""
    if given["timber"] or given["stain"] or given["topcoat"]:
        raise RefusedError([("--job", "has the finish; expected no --timber, --stain or --topcoat with it")])
    from viewer.job.choices import ChoiceError, finish_named, finish_place

    job, document = read_document(given["job_file"], folders)
    try:
        finish = finish_named(job, given["finish_name"])
        return finish, document, finish_place(job, given["finish_name"])
    except ChoiceError as error:
        raise RefusedError((f"--{path}", message) for path, message in error.problems) from None


def _photos(photos: tuple[Path, ...], given: dict[str, Any]) -> "list[PhotoGiven]":
    from viewer.measuring import PhotoGiven

    off_cut, chart, card = (_corners(name, given[f"{name}s"], len(photos)) for name in OUTLINES)
    found = []
    for number, path in enumerate(photos):
        try:
            data = path.read_bytes()
        except OSError as error:
            raise RefusedError([(str(path), f"cannot be read: {error.strerror}")]) from None
        found.append(
            PhotoGiven(
                data=data,
                off_cut=off_cut[number],
                chart=chart[number] if chart else None,
                card=card[number] if card else None,
                vintage=given["vintage"],
                card_y=given["card_y"],
                in_pixels=True,
            )
        )
    return found


def _corners(name: str, texts: tuple[str, ...], photos: int) -> "list[Corners]":
    """One outline a photograph: each its own, or one for all; none where none is given."""
    from viewer.measuring import corners_of

    option = f"--{name.replace('_', '-')}"
    if len(texts) not in (0, 1, photos):
        raise RefusedError([(option, f"is given {len(texts)} times; expected once, or once a photograph")])
    try:
        found = [corners_of(text) for text in texts]
    except ValueError as error:
        raise RefusedError([(option, str(error))]) from None
    return found * photos if len(found) == 1 else found


def _can_keep(output: Path, document: dict[str, Any] | None) -> None:
    """Refuse a place where nothing could be kept before anything is measured."""
    ending = output.suffix.lower()
    if ending not in (".json", ".toml"):
        raise RefusedError([("--output", f"{output.name} has another ending; expected .json or .toml")])
    if ending == ".json" and document is None:
        raise RefusedError([("--output", "a .json keeps the job; expected --job as well, or a .toml")])
    folder_of(output)


def _keep(output: Path, found: "Measurement", document: dict[str, Any] | None, place: str) -> None:
    from finishes.measured import with_sample
    from viewer.files import write
    from viewer.measuring import with_off_cut

    if output.suffix.lower() == ".json" and document is not None:
        changed = with_off_cut(document, place, found.off_cut)
        write(output, f"{json.dumps(changed, indent=2, ensure_ascii=False)}\n".encode())
        return
    try:
        before = output.read_text(encoding="utf-8") if output.exists() else ""
        write(output, with_sample(before, found.off_cut).encode())
    except ValueError as error:
        raise RefusedError([("--output", f"{output.name} {error}")]) from None
