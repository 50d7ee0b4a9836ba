"""What the sheets of a job are about, worked out once a version and held while its pages are looked at."""

from typing import cast

from flask import Flask, current_app, request

from viewer.job.choices import chosen_finish, finish_label
from viewer.kept import Kept, one_each
from viewer.pack.files import matter_files
from viewer.pages.opened import Opened, kept_job, opened
from viewer.services import services
from viewer.sheets.matter import Matter, matter_of
from viewer.sheets.paper import PAPER_SIZES, PaperName

KEY = "slatwright-matters"
MOST_HELD = 4
"""Matters held at once, and as many packs; the least recently used goes first."""


class Matters:
    """The matters and packs of one application, by everything that they depend on."""

    def __init__(self) -> None:
        self.matters: Kept[Matter] = Kept(MOST_HELD, one_each)
        self.packs: Kept[dict[str, bytes]] = Kept(MOST_HELD, one_each)


def init_app(app: Flask) -> None:
    """Make room for the matters of an application."""
    app.extensions[KEY] = Matters()


def _held() -> Matters:
    return cast(Matters, current_app.extensions[KEY])


def chosen_paper() -> PaperName:
    """The size of paper from the query; A4 where it says nothing usable."""
    given = request.args.get("paper", "")
    return next((name for name in PAPER_SIZES if name == given), "A4")


def matter(name: str) -> Matter:
    """The job with the finish that it chose, for the sheets; 404 for a job that is not there."""
    on = opened(name)
    return _held().matters.get((name, on.version, chosen_paper(), _plans()), lambda: _matter(on))


def _plans() -> str:
    """Changes whenever the background has made more of a cutting plan than was known before."""
    return str(services().cuttings.improved)


def _matter(on: Opened) -> Matter:
    found = kept_job(on.name)
    assert found is not None
    public = services().settings.public_url
    finish = chosen_finish(on.job)
    return matter_of(
        job=on.job,
        document=found.document,
        finish=finish,
        label=finish_label(finish, 0),
        catalogue=services().catalogue,
        prices=services().prices,
        paper=chosen_paper(),
        address=f"{public}/jobs/{on.name}" if public else "",
        better=services().cuttings.best,
    )


def packed(name: str) -> dict[str, bytes]:
    """Every file of the job's pack by its name."""
    about = matter(name)
    key = (name, opened(name).version, about.paper, _plans())
    return _held().packs.get(key, lambda: matter_files(about, {}))
