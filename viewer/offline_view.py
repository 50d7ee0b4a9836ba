"""The turning view inside one HTML file: scripts and tables packed into the page, nothing asked of anybody.

What a page of the application fetches stands here as gzip in base64: three.js, our modules, the wall, and the
light of each lighting on every third line of its grids (see ``EVERY``). A short script of the page unpacks it
into addresses that only this page knows (``blob:``), so that the file's own policy can forbid the network.
"""

import base64
import gzip
import hashlib
import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flask import render_template
from markupsafe import Markup

from finishes.choice import Finish
from meshes.light.lamps import Lighting
from viewer.figure import figure_of
from viewer.pages.job_view import script_json
from viewer.pages.orbit_figure import figure_bytes
from viewer.pages.orbit_light import light_bytes
from viewer.pages.static_files import MODULES, STATIC, VENDOR, bare
from viewer.picture import Studio

EVERY = 3
"""Of so many lines of the light's grids one is kept; a test holds what that costs in colour."""
START, ENTRY = "offline_start.js", "offline_page.js"
SCRIPTS = STATIC / "js"
SPECIFIER = re.compile(r"""(\bfrom\s*|\bimport\s*\(?\s*)(["'])([./\w]+)\2""")


@dataclass(frozen=True, slots=True, kw_only=True)
class OfflineView:
    """A view for a file.

    html : the figure with its controls, and its scripts, to stand anywhere in the body; policy : what the
    file's Content-Security-Policy must allow for it; size : bytes that the view adds to the file.
    """

    html: Markup
    policy: str
    size: int


def offline_view(
    *,
    studio: Studio,
    orbit: Mapping[str, Any],
    lightings: Sequence[Lighting],
    candidates: Sequence[tuple[str, Finish]],
    page: Mapping[str, Any],
) -> OfflineView:
    """The view of some finishes under some lightings of a job.

    orbit : what a page of the application would hand to the view, for the same finishes and lightings; page :
    ``lightings``, ``views``, ``finishes`` (key, name, checked) and ``still`` (src, words) of the template
    ``_picture.html``. Needs three.js where npm puts it; raises FileNotFoundError without.
    """
    figures = [figure_of(finish, studio.catalogue) for _label, finish in candidates]
    tables = [("wall", figure_bytes(studio.scene, figures))]
    tables += [
        (f"light{number}", light_bytes(studio, one, every=EVERY)) for number, one in enumerate(lightings)
    ]
    lit = [
        {**one, "light": f"part:light{number}"}
        for number, one in enumerate(orbit["lightings"][: len(lightings)])
    ]
    data = {**orbit, "figure": "part:wall", "lightings": lit, "still": ""}
    parts = [(name, "", _packed(table)) for name, table in tables]
    parts.append(("orbit-data", "json", _packed(script_json(data).encode())))
    parts += [(name, "js", _packed(text.encode())) for name, text in modules()]
    start = bare(SCRIPTS / START)
    html = render_template(
        "_offline_view.html", page=page, parts=Markup(json.dumps(parts)), start=Markup(start)
    )
    digest = base64.b64encode(hashlib.sha256(start.encode()).digest()).decode()
    return OfflineView(
        html=Markup(html),
        policy=f"script-src 'sha256-{digest}' blob:; connect-src blob:",
        size=len(html.encode()),
    )


def modules() -> list[tuple[str, str]]:
    """Name and text of every module that the view needs, each after those that it imports."""
    three = VENDOR["vendor/three.module.js"]
    known = {"three": MODULES / three, "three.core.js": MODULES / three.replace("module", "core")}
    found: dict[str, str] = {}

    def add(name: str, file: Path) -> None:
        def link(match: re.Match[str]) -> str:
            wanted = match[3].removeprefix("./")
            there = known.get(wanted, SCRIPTS / wanted)
            if not there.is_file():  # an example in a comment
                return match[0]
            add(wanted, there)
            return f'{match[1]}"part:{wanted}"'

        if name not in found:
            found[name] = SPECIFIER.sub(
                link, bare(file) if file.parent == SCRIPTS else file.read_text(encoding="utf-8")
            )

    add(ENTRY, SCRIPTS / ENTRY)
    return list(found.items())


def _packed(data: bytes) -> str:
    return base64.b64encode(gzip.compress(data, 9, mtime=0)).decode()
