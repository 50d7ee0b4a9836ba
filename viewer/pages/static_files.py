"""Static files by an allow-list: our own scripts and styles, and the few third-party files that pages need.

Everything else in static/ (package files, tools, the rest of node_modules) answers 404. Third-party files
stand under ``/static/vendor/``; their names are fixed here, so that no path of a request reaches the file
system except through a table made at start.
"""

import re
from functools import cache
from pathlib import Path

from flask import Blueprint, Response, abort, request

STATIC = Path(__file__).parents[2] / "static"
MODULES = STATIC / "node_modules"

OUR_FILES = {"css": (".css", ".svg"), "js": (".js",)}
"""Folders of our own files and the endings that are served from them."""

VENDOR = {
    "vendor/three.module.js": "three/build/three.module.js",
    "vendor/three.core.js": "three/build/three.core.js",
}
"""Address below /static/ of each third-party file, and where npm put it."""

FONT_PACKAGES = ("ibm-plex-sans", "ibm-plex-sans-condensed")

FONT_KEPT_S = 30 * 24 * 3600
"""A page is painted in its typeface only where a browser has that at hand, without asking anew."""

TYPES = {
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml",
    ".woff2": "font/woff2",
}

COMMENT = re.compile(r"^[ \t]*/\*\*(?:(?!\*/)[\s\S])*\*/\n|^[ \t]*//.*\n|/\*\* @.*?\*/ ?", re.MULTILINE)
"""Comments of our own modules: blocks and lines of their own, and types before an expression."""

INDENT = re.compile(r"^[ \t]+", re.MULTILINE)
"""Reads well and says nothing to a browser; no text of our modules goes over several lines."""

blueprint = Blueprint("static_files", __name__)


@cache
def served() -> dict[str, Path]:
    """Every address below /static/ that is answered, with its file. Made once a process."""
    table: dict[str, Path] = {}
    for folder, endings in OUR_FILES.items():
        for file in sorted((STATIC / folder).rglob("*")):
            if file.suffix in endings and file.is_file() and not file.is_symlink():
                table[file.relative_to(STATIC).as_posix()] = file
    for address, place in VENDOR.items():
        table[address] = MODULES / place
    for package in FONT_PACKAGES:
        for file in sorted((MODULES / "@fontsource" / package / "files").glob("*-latin-*-normal.woff2")):
            table[f"vendor/fonts/{file.name}"] = file
    return table


def serve(filename: str) -> Response:
    """One file of the allow-list, with an ETag; 404 for anything else."""
    file = served().get(filename)
    if file is None or not file.is_file():
        abort(404)
    data = bare(file).encode() if filename.startswith("js/") else file.read_bytes()
    response = Response(data, content_type=TYPES[file.suffix])
    kept = file.suffix == ".woff2"
    response.headers["Cache-Control"] = f"public, max-age={FONT_KEPT_S}" if kept else "no-cache"
    response.add_etag()
    response.make_conditional(request)
    return response


def bare(module: Path) -> str:
    """A module of ours as browsers get it: without comments and indents, which help who changes it."""
    return INDENT.sub("", COMMENT.sub("", module.read_text(encoding="utf-8")))
