"""What stands in the repository: the fixed top level, our own text only, nothing of one machine."""

import ast
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "viewer",
    "meshes",
    "static",
    "tests",
    "finishes",
}
# what .gitignore keeps out of the repository
MADE_HERE = re.compile(
    r"^(\.git|\.venv.*|node_modules|__pycache__|\..*_cache|\.hypothesis|.*\.egg-info|out|fonts)$"
)
OUR_KINDS = {
    *(".md", ".toml", ".lock", ".py", ".sh", ".json", ".js", ".mjs", ".css", ".html", ".svg", ".txt"),
    *(".csv", ".jpg", ".po", ".pot", ".mako", ".sql", ".npz", ".glsl", ".ts"),
}
PICTURE_BYTES = 150_000


def repository_files(checkout: Path) -> Iterator[Path]:
    for folder, folders, names in os.walk(checkout):
        folders[:] = sorted(name for name in folders if not MADE_HERE.match(name))
        yield from (Path(folder, name) for name in sorted(names) if not name.startswith(".coverage"))


def texts(checkout: Path) -> Iterator[tuple[str, str]]:
    for path in repository_files(checkout):
        if path.suffix not in {".jpg", ".npz", ".pyc"}:
            yield path.relative_to(checkout).as_posix(), path.read_text(encoding="utf-8")


def test_nothing_else_visible_stands_at_the_top(checkout: Path) -> None:
    visible = {path.name for path in checkout.iterdir() if not path.name.startswith(".")}
    assert visible - {"out"} == TOP_LEVEL


def test_only_kinds_of_file_that_we_write(checkout: Path) -> None:
    # typefaces, libraries, archives and binaries are installed, not committed
    foreign = [
        path.relative_to(checkout).as_posix()
        for path in repository_files(checkout)
        if path.suffix not in OUR_KINDS and not path.name.startswith(".") and path.parent.name != ".ci"
    ]
    assert foreign == []


def test_pictures_are_small(checkout: Path) -> None:
    large = [
        p.name for p in repository_files(checkout) if p.suffix == ".jpg" and p.stat().st_size > PICTURE_BYTES
    ]
    assert large == []


def test_no_foreign_licence_and_no_minified_code(checkout: Path) -> None:
    # a notice in a source file means that somebody else wrote it; ours is stated once, in README.md
    notice = re.compile(r"copyright|all rights reserved|SPDX-|@license|@preserve", re.IGNORECASE)
    found = []
    for name, text in texts(checkout):
        if name.startswith("static/package-lock") or name in {"README.md", "tests/test_house_files.py"}:
            continue
        if notice.search(text):
            found.append(f"{name}: a licence notice")
        if (
            name.endswith((".js", ".mjs", ".css", ".py"))
            and max(map(len, text.splitlines()), default=0) > 300
        ):
            found.append(f"{name}: a line past 300 characters")
    assert found == []


# put together here, so that this file does not hold them either
HOSTS = [
    ".".join(parts)
    for parts in (("pypi", "org"), ("pythonhosted", "org"), ("npmjs", "org"), ("npmjs", "com"))
]
HOSTS += [
    ".".join(parts) for parts in (("debian", "org"), ("ubuntu", "com"), ("unpkg", "com"), ("jsdelivr", "net"))
]
PLACES = re.compile(r"(?<![\w./$}\"'-])/(?:" + "work|root|opt|home|mnt|workspace" + r")/[\w.-]+")


@pytest.mark.parametrize("host", HOSTS)
def test_no_file_names_a_package_host(checkout: Path, host: str) -> None:
    assert [name for name, text in texts(checkout) if host in text] == []


def test_no_file_names_a_place_on_somebodys_machine(checkout: Path) -> None:
    assert [(name, found[0]) for name, text in texts(checkout) if (found := PLACES.search(text))] == []


def test_every_room_says_what_it_may_not_do(checkout: Path) -> None:
    # one sentence at the head of each package: style of the house, and the contract import-linter holds
    silent = [
        path.relative_to(checkout).as_posix()
        for room in ("viewer", "meshes", "finishes")
        for path in sorted((checkout / room).rglob("__init__.py"))
        if not path.read_text(encoding="utf-8").startswith('"""')
    ]
    assert silent == []


@pytest.mark.parametrize("package", ["drawings", "sheets", "export", "pack"])
def test_paper_and_exports_ask_for_no_present_moment(checkout: Path, package: str) -> None:
    """``datetime`` is allowed there, unlike ``time`` (pyproject.toml), as the type of the job's own dates."""
    asking = {"now", "today", "utcnow", "utc_now"}
    found, read = [], 0
    for path in sorted((checkout / "viewer" / package).rglob("*.py")):
        read += 1
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = {node.attr} if isinstance(node, ast.Attribute) else set()
            if isinstance(node, ast.ImportFrom):
                names = {alias.name for alias in node.names}
            found += [f"{path.name}:{getattr(node, 'lineno', 0)} {name}" for name in names & asking]
    assert read > 1
    assert found == []


def test_files_of_the_program_stay_one_thing(checkout: Path) -> None:
    # a name that says nothing collects everything; a long file is two. Styles take a line a declaration.
    longest = {".py": 350, ".js": 350, ".css": 450}
    nameless = {"utils", "util", "helpers", "helper", "common", "misc", "tools"}
    found = []
    for room in ("viewer", "meshes", "finishes", "static"):
        for path in repository_files(checkout / room):
            if path.suffix in longest:
                lines = path.read_text(encoding="utf-8").count("\n")
                if path.stem in nameless or lines > longest[path.suffix]:
                    found.append(f"{path.relative_to(checkout).as_posix()}: {lines} lines")
    assert found == []
