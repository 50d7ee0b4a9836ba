"""What the sheets of a job are about, worked out once a version and held while its pages are looked at."""

from collections import OrderedDict
from collections.abc import Callable
from threading import Lock
from typing import TypeVar, cast

from flask import Flask, current_app, request

from viewer.job.choices import chosen_finish, finish_label
from viewer.pack.files import matter_files
from viewer.pages.opened import Opened, kept_job, opened
from viewer.services import services
from viewer.sheets.matter import Matter, matter_of
from viewer.sheets.paper import PAPER_SIZES, PaperName

KEY = "slatwright-matters"
KEPT = 4
"""Matters and packs held at once; the least recently used goes first."""

Held = TypeVar("Held")


class Matters:
    """Things by key, each made by one request while others that want it wait."""

    def __init__(self) -> None:
        self._guard = Lock()
        self._held: OrderedDict[tuple[str, ...], object] = OrderedDict()

    def of(self, key: tuple[str, ...], make: Callable[[], Held]) -> Held:
        with self._guard:
            if key not in self._held:
                self._held[key] = make()
            self._held.move_to_end(key)
            while len(self._held) > KEPT:
                self._held.popitem(last=False)
            return cast(Held, self._held[key])


def init_app(app: Flask) -> None:
    """Make room for the matters of an application."""
    app.extensions[KEY] = Matters()


def chosen_paper() -> PaperName:
    """The size of paper from the query; A4 where it says nothing usable."""
    given = request.args.get("paper", "")
    return next((name for name in PAPER_SIZES if name == given), "A4")


def matter(name: str) -> Matter:
    """The job with the finish that it chose, for the sheets; 404 for a job that is not there."""
    on = opened(name)
    return cast(Matters, current_app.extensions[KEY]).of(
        ("matter", name, on.version, chosen_paper(), _plans()), lambda: _matter(on)
    )


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
    return cast(Matters, current_app.extensions[KEY]).of(
        ("pack", name, opened(name).version, about.paper, _plans()), lambda: matter_files(about, {})
    )
