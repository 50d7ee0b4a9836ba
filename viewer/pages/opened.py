"""A job as the requests of its pages work with it: looked up once, its studio held for the version."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from flask import Response, abort, redirect, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.exceptions import NotFound

from finishes.choice import Finish
from meshes.light.lamps import Lighting
from meshes.stills.camera import views
from viewer.catalogue import KINDS
from viewer.frame import THINGS
from viewer.job.canonical import digest
from viewer.job.check import CheckResult
from viewer.job.choices import candidates, finish_label, lightings
from viewer.job.model import Job
from viewer.pages import words
from viewer.pages.orbit_data import Addresses, orbit_data
from viewer.pages.places import number_below
from viewer.pages.studios import studio_of
from viewer.pages.tried_set_out import trial_of, tried
from viewer.picture import Studio
from viewer.services import services
from viewer.store.jobs import JobUnknownError

Given = MultiDict[str, str]
A_YEAR_S = 31_536_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened:
    """A job, its candidates with their labels, its lightings and its studio."""

    name: str
    version: str
    job: Job
    document: dict[str, Any]
    finishes: tuple[tuple[str, Finish], ...]
    lightings: tuple[Lighting, ...]
    studio: Studio
    revision: int = 0
    """As ``read_job`` gives it; of an offer's fixed state there is none."""
    trial: Mapping[str, Any] = field(default_factory=dict)
    """What is tried over the kept job, as the address says it."""

    def address(self, endpoint: str, **values: Any) -> str:
        """Address of a part of this version; it never changes, so a browser may keep it."""
        return url_for(f"job_parts.{endpoint}", name=self.name, v=self.version[:16], **self.trial, **values)

    def still(self, *, finish: int, lighting: int, view: str, **values: Any) -> str:
        """Address of a still."""
        return self.address("still", finish=finish, lighting=lighting, view=view, **values)

    def orbit(self) -> dict[str, Any]:
        """What a turning view of this job needs."""
        addresses = Addresses(
            mesh=self.address("mesh"),
            figure=self.address("figure"),
            still=self.address("still"),
            light=[self.address("light", number=number) for number in range(len(self.lightings))],
        )
        return orbit_data(
            studio=self.studio,
            lightings=self.lightings,
            candidates=self.finishes,
            addresses=addresses,
            words=words.orbit_words(),
        )

    @property
    def walls(self) -> int:
        """How many walls are set out."""
        return 1 + len(self.job.next_walls)

    def heading(self, page: str) -> dict[str, Any]:
        """Name, date and the way to the job's other pages."""
        return {"name": self.job.name, "revised": self.job.revised, "trail": trail(self.name, page)}


def trail(name: str, page: str) -> list[tuple[str, str, bool]]:
    """The pages of a job: words, address, and whether it is the present one."""
    titles = words.page_names()
    pages = {
        "survey_page.survey": titles["survey"],
        "set_out_page.choices": titles["set_out"],
        "job_pages.job": titles["job"],
        "finish_page.finish": titles["finish"],
        "lightings_page.page": titles["lightings"],
        "board_page.board": titles["board"],
        "stills_page.stills": titles["stills"],
        "offers.offers": titles["offers"],
        "sheets_page.sheets": titles["sheets"],
        "as_made_page.as_made": titles["as_made"],
    }
    return [(title, url_for(endpoint, name=name), endpoint == page) for endpoint, title in pages.items()]


def opened(name: str) -> Opened:
    """The job of that name, with what the address tries over it; 404 for one that is not there."""
    (found, revision), trial = read_job(name), trial_of(request.args)
    if trial:
        found = tried(found, trial)
    if found.job is None:
        if request.method == "GET" and "text/html" in request.headers.get("Accept", ""):
            abort(redirect(url_for("survey_page.survey", name=name)))  # a person finds there what is missing
        abort(404)
    version = digest(found.document)
    named = tuple((finish_label(one, number), one) for number, one in enumerate(candidates(found.job)))
    return Opened(
        name=name,
        version=version,
        job=found.job,
        document=found.document,
        finishes=named,
        lightings=lightings(found.job),
        studio=studio_of(version, found.job),
        revision=revision,
        trial=trial,
    )


def read_job(name: str) -> tuple[CheckResult, int]:
    """The kept job of that id, checked, and its revision, by which it is saved again; 404 for one that is not
    there. The built-in job has 0 as long as nobody has kept a state of it.
    """
    try:
        stored = services().store.jobs.get(name)
    except JobUnknownError:
        if name != "demo":
            abort(404)
        return services().demo, 0
    return services().check_state(stored.document), stored.revision


def kept_job(name: str) -> CheckResult | None:
    """The job of ``read_job`` alone, or None for one that is not there."""
    try:
        return read_job(name)[0]
    except NotFound:
        return None


def first_entries() -> dict[str, str]:
    """What an empty name means, by kind."""
    return {kind: services().catalogue.default(kind) for kind in KINDS}


def kept(data: bytes, mimetype: str) -> Response:
    """A part of one version; asked for by its version it may be kept for good."""
    response = Response(data, mimetype=mimetype)
    if "v" in request.args:
        response.headers["Cache-Control"] = f"private, max-age={A_YEAR_S}, immutable"
    return response


def chosen(argument: str, count: int, given_by: Given | None = None) -> int:
    """A place in a list from the query or form; the first where it says nothing usable."""
    given = (request.args if given_by is None else given_by).get(argument, "0")
    return number_below(given, count) or 0


def chosen_view(given_by: Given | None = None, *, walls: int) -> str:
    """A named view of a job with so many walls, from the query or form; front where none is."""
    given = (request.args if given_by is None else given_by).get("view", "front")
    return given if given in views(walls) else "front"


def wanted_things() -> tuple[str, ...]:
    """Which of ``THINGS`` the query asks for, in their order."""
    given = request.args.getlist("with")
    return tuple(one for one in THINGS if one in given)


def view_choice(view: str, walls: int) -> list[dict[str, Any]]:
    """The named views of a job with so many walls as radio inputs."""
    return [
        {"key": key, "name": title, "checked": key == view} for key, title in words.view_names(walls).items()
    ]
