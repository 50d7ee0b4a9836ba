"""Files appear whole or not at all: written beside their place under another name, then renamed."""

import errno
import os
import secrets
from collections.abc import Mapping
from pathlib import Path


def write_all(contents: Mapping[Path, bytes]) -> None:
    """Write several files that belong together; on any failure none of them is left, half or whole.

    Raises ``OSError`` naming the file that could not be written. Folders must exist.
    """
    waiting: dict[Path, Path] = {}
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
            beside.replace(path)
    except BaseException:
        for beside in waiting:
            beside.unlink(missing_ok=True)
        raise


def write(path: Path, data: bytes) -> None:
    """Write one file whole or not at all."""
    write_all({path: data})
