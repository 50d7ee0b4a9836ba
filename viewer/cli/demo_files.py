"""What ``demo`` leaves in its folder: everything that a job gives, for the built-in one."""

import json
from collections.abc import Iterator
from functools import partial
from pathlib import Path

from viewer.answers.appearance import appearance_answer
from viewer.answers.glb import glb_answer
from viewer.answers.set_out import set_out_answer
from viewer.answers.take_off import take_off_answer
from viewer.board import board_image
from viewer.cli.job_commands import finish_of, frame_of, made, prices_of, studio_of
from viewer.cli.options import catalogue_with
from viewer.demo import PRICES_FILE, demo_bytes
from viewer.files import write
from viewer.job.check import JobError, check_text
from viewer.job.choices import lightings
from viewer.job.model import Job
from viewer.still_file import image_bytes, still_files

VIEWS = ("front", "seated", "close")


def _json(value: object) -> bytes:
    return f"{json.dumps(value, indent=2, ensure_ascii=False)}\n".encode()


def _answers(job: Job, folder: Path) -> Iterator[tuple[Path, bytes]]:
    finish, label = finish_of(job, None)
    catalogue = catalogue_with(())
    yield folder / "job.json", demo_bytes()
    yield folder / "set-out.json", _json(set_out_answer(job))
    yield (
        folder / "take-off.json",
        _json(take_off_answer(job, finish, label, catalogue, prices_of(PRICES_FILE))),
    )
    yield folder / "appearance.json", _json(appearance_answer(job, finish, label, catalogue))
    yield folder / "wall.glb", glb_answer(job, catalogue)


def write_demo(folder: Path, size: str) -> None:
    """Write the files, each whole or not at all."""
    frames = {view: frame_of(size, view, plain=False) for view in VIEWS}
    result = check_text(demo_bytes())
    if result.job is None:
        raise JobError(result.problems)
    job = result.job
    folder.mkdir(parents=True, exist_ok=True)
    for path, data in _answers(job, folder):
        write(path, data)
    finish, label = finish_of(job, None)
    studio = studio_of(job, ())
    for view, frame in frames.items():
        for lighting in lightings(job):
            path = folder / f"{lighting.name}-{view}.jpg"
            work = partial(still_files, studio, frame, lighting, finish, label=label, path=path)
            files = made(studio, frame, work)
            for file, data in files.items():
                write(file, data)
    image, words = board_image(studio, job, frame_of("640x360", "front", plain=False))
    write(folder / "board.jpg", image_bytes(image, ".jpg", words))
