"""Putting a pack into a folder: all of it or nothing, and nothing of an earlier pack left to mislead."""

import hashlib
import json
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from viewer.files import write_all
from viewer.pack.files import CONTENTS


def write_pack(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write the files below ``folder``, making it and what is missing under it.

    Files that an earlier pack put there and this one no longer has are taken away, unless somebody changed
    them since. Raises ``OSError`` naming what could not be written; the folder then holds what it did before.
    """
    outdated = _outdated(folder, files)
    made = _make(folder, files)
    try:
        write_all({folder / name: data for name, data in files.items()})
    except BaseException:
        _take_away(made)
        raise
    for path in outdated:
        path.unlink(missing_ok=True)


def _make(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """The folders that had to be made, the outermost first."""
    wanted = sorted({(folder / name).parent for name in files} | {folder})
    made: list[Path] = []
    try:
        for path in wanted:
            missing = [one for one in (path, *path.parents) if not one.exists()]
            for one in reversed(missing):
                one.mkdir()
                made.append(one)
    except BaseException:
        _take_away(made)
        raise
    return made


def _take_away(made: list[Path]) -> None:
    """Folders that were made for nothing; one in which something stands by now stays."""
    for path in reversed(made):
        with suppress(OSError):  # what stopped the pack is what has to be said
            path.rmdir()


def _outdated(folder: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Unchanged files of the earlier pack that this one does not have."""
    try:
        listed = json.loads((folder / CONTENTS).read_bytes())["files"]
        known = {str(name): str(entry["sha256"]) for name, entry in listed.items()}
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return []  # no pack of ours: nothing here is ours to take away
    found = []
    for name, digest in known.items():
        path = folder / name
        inside = not Path(name).is_absolute() and ".." not in Path(name).parts
        if (
            inside
            and name not in files
            and path.is_file()
            and hashlib.sha256(path.read_bytes()).hexdigest() == digest
        ):
            found.append(path)
    return found
