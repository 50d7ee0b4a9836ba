"""What ``demo`` leaves in its folder: the pack of the built-in job, its spectra, and pictures of it."""

import json
from functools import partial
from pathlib import Path

from viewer.answers.appearance import appearance_answer
from viewer.board import board_image
from viewer.cli.options import catalogue_with, finish_of, prices_of
from viewer.cli.picture_commands import frame_of, made, studio_of
from viewer.demo import PRICES_FILE, demo_bytes
from viewer.job.check import JobError, check_text
from viewer.job.choices import lightings
from viewer.job.model import Job
from viewer.pack.files import pack_files
from viewer.pack.folder import write_pack
from viewer.still_file import image_bytes, still_files

VIEWS = ("front", "seated", "close")
PICTURES = Path("pictures")
BOARD_SIZE = "640x360"


def _pictures(job: Job, size: str) -> dict[str, bytes]:
    """Every view under every lighting in the chosen finish, and the board."""
    frames = {view: frame_of(size, view, plain=False) for view in VIEWS}
    finish, label = finish_of(job, None)
    studio = studio_of(job, ())
    files: dict[str, bytes] = {}
    for view, frame in frames.items():
        for lighting in lightings(job):
            path = PICTURES / f"{lighting.name}-{view}.jpg"
            work = partial(still_files, studio, frame, lighting, finish, label=label, path=path)
            files |= {file.as_posix(): data for file, data in made(studio, frame, work).items()}
    frame = frame_of(BOARD_SIZE, "front", plain=False)
    image, words = made(studio, frame, lambda: board_image(studio, job, frame))
    files[(PICTURES / "board.jpg").as_posix()] = image_bytes(image, ".jpg", words)
    return files


def write_demo(folder: Path, size: str) -> None:
    """Write all of it, or nothing."""
    result = check_text(demo_bytes())
    if result.job is None:
        raise JobError(result.problems)
    job, catalogue = result.job, catalogue_with(())
    finish, label = finish_of(job, None)
    spectra = json.dumps(appearance_answer(job, finish, label, catalogue), indent=2, ensure_ascii=False)
    files = pack_files(
        job=job,
        document=result.document,
        finish=finish,
        label=label,
        catalogue=catalogue,
        prices=prices_of(PRICES_FILE),
        beside={"data/appearance.json": f"{spectra}\n".encode(), **_pictures(job, size)},
    )
    write_pack(folder, files)
