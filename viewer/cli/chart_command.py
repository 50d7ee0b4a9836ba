"""``slatwright chart``: tones by timbers by coats in one picture, to look at before anything is stained."""

import io
from pathlib import Path

import click

from viewer.cli.options import catalogue_option, catalogue_with, folder_of, output_option, unknown_names
from viewer.cli.refusal import RefusedError


@click.command()
@output_option
@catalogue_option
@click.option("--timber", "timbers", multiple=True, metavar="NAME", help="Only this timber; may be repeated.")
@click.option("--stain", "stains", multiple=True, metavar="NAME", help="Only this tone; may be repeated.")
@click.option("--topcoat", default="oil", show_default=True, metavar="NAME", help="Topcoat of every board.")
@click.option("--lamp", default="D65", show_default=True, metavar="NAME", help="Lamp that lights the chart.")
@click.option(
    "--coats",
    "most",
    type=click.IntRange(1, 6),
    default=2,
    show_default=True,
    help="Strips with one coat, two coats and so on up to this.",
)
def chart(
    output: Path,
    folders: tuple[Path, ...],
    timbers: tuple[str, ...],
    stains: tuple[str, ...],
    topcoat: str,
    lamp: str,
    most: int,
) -> None:
    """Write a chart of tones on timbers, coat by coat, as .png or .jpg."""
    ending = output.suffix.lower()
    if ending not in (".png", ".jpg"):
        raise RefusedError([("--output", f"{output.name} has another ending; expected .png or .jpg")])
    catalogue = catalogue_with(folders)
    problems = unknown_names(
        catalogue, {"timber": timbers, "stain": stains, "topcoat": (topcoat,), "lamp": (lamp,)}
    )
    if problems:
        raise RefusedError(problems)
    folder_of(output)
    from finishes.chart import chart_png
    from viewer.files import write

    picture = chart_png(
        catalogue,
        timbers=timbers,
        tones=stains,
        coats=range(1, most + 1),
        topcoat=topcoat,
        light=lamp,
    )
    write(output, picture if ending == ".png" else _as_jpeg(picture))


def _as_jpeg(png: bytes) -> bytes:
    """The same picture, smaller, with its colours at full resolution."""
    from PIL import Image

    file = io.BytesIO()
    with Image.open(io.BytesIO(png)) as image:
        image.save(file, "JPEG", quality=88, subsampling=0)
    return file.getvalue()
