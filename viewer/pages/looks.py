"""What the list of jobs shows of each: a small picture and a line, made once a version."""

from dataclasses import dataclass
from gettext import gettext as _
from typing import cast

from flask import Flask, current_app

from finishes.adaptation import adapted_srgb
from finishes.appearance import Appearance, appearance
from finishes.lamps import lamp
from meshes.layout.placed import SetOut
from viewer.answers.set_out import set_outs_of
from viewer.drawings.figures import figure
from viewer.drawings.small import small_wall
from viewer.drawings.surveyed import surveyed_wall
from viewer.job.canonical import digest
from viewer.job.choices import chosen_finish
from viewer.kept import Kept
from viewer.pages.bands import GAP_LIGHT
from viewer.pages.job_view import unlit_hex
from viewer.pages.survey_drawn import drawn_wall
from viewer.services import services
from viewer.store.jobs import StoredJob

KEY = "slatwright-looks"
KEPT_BYTES = 8 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """``ready``: the job can be set out; without that ``svg`` shows the survey, or nothing as yet."""

    ready: bool
    svg: str
    words: str


def init_app(app: Flask) -> None:
    """Make room for the looks of an application's jobs."""
    app.extensions[KEY] = Kept[Look](KEPT_BYTES, lambda look: len(look.svg))


def look_of(job: StoredJob) -> tuple[str, Look]:
    """The version of a job and what it looks like."""
    version = digest(job.document)
    held = cast(Kept[Look], current_app.extensions[KEY])
    return version, held.get(version, lambda: _made(job))


def _made(job: StoredJob) -> Look:
    found = services().check_state(job.document)
    if found.job is None:
        begun = drawn_wall(found.document, "", {})
        picture = surveyed_wall(begun, width_mm=80, height_mm=50) if begun else ""
        return Look(ready=False, svg=picture, words=_("The survey is not finished."))
    set_outs = set_outs_of(found.job)
    seen = appearance(chosen_finish(found.job), services().catalogue)
    picture = small_wall(set_outs, slat=unlit_hex(seen, "slat_front"), backing=_in_the_gap(seen))
    return Look(ready=True, svg=picture, words=_words(set_outs))


def _in_the_gap(seen: Appearance) -> str:
    """The backing as it shows between slats, by the share of light that bands draw it with."""
    light = lamp("D65")
    shaded = seen.reflectance["fabric"] @ light.weights * GAP_LIGHT
    return "#" + "".join(f"{round(255 * float(one)):02x}" for one in adapted_srgb(shaded, light.white_xyz))


def _words(set_outs: tuple[SetOut, ...]) -> str:
    first = set_outs[0]
    walls = ", ".join(
        _("{width} × {height} mm").format(width=figure(one.wall_width), height=figure(one.wall_height))
        for one in set_outs
    )
    return _("{walls}; {count} slats of {slat}\u00a0mm, gap\u00a0{gap}\u00a0mm").format(
        walls=walls,
        count=sum(len(one.slats) for one in set_outs),
        slat=figure(first.slat_width),
        gap=figure(first.gap),
    )
