"""Files appear whole or not at all: written beside their place under another name, then renamed."""

import errno
import os
import secrets
from collections.abc import Mapping
from pathlib import Path


def write_all(contents: Mapping[Path, bytes]) -> None:
    """Write several files that belong together; on any failure what stood there before stands again.

    Raises ``OSError`` naming the file that could not be written; what could not be put back is noted on it.
    Folders must exist.
    """
    waiting: dict[Path, Path] = {}
    before: dict[Path, bytes | None] = {}
    try:
        for path, data in contents.items():
            if path.is_dir():
                raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
            beside = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
            waiting[beside] = path
            with beside.open("xb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
        for beside, path in waiting.items():
            earlier = path.read_bytes() if len(waiting) > 1 and path.exists() else None
            beside.replace(path)
            if len(waiting) > 1:
                before[path] = earlier
    except BaseException as error:
        for beside in waiting:
            beside.unlink(missing_ok=True)
        for path, earlier in before.items():
            _put_back(path, earlier, error)
        raise


def _put_back(path: Path, earlier: bytes | None, error: BaseException) -> None:
    """Undo the replacing of one file after that of another failed with ``error``."""
    try:
        if earlier is None:
            path.unlink(missing_ok=True)
        else:
            write(path, earlier)
    except OSError as second:
        error.add_note(f"{path} is already the new one and could not be put back: {second.strerror}")


def write(path: Path, data: bytes) -> None:
    """Write one file whole or not at all."""
    write_all({path: data})
