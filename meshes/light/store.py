"""A cache folder for solved light: content-addressed, limited in size, safe against half-written files.

A key is a hash of everything that the numbers depend on (geometry, lighting, view) and of a version constant,
never of a finish. A file that cannot be read counts as absent and is made anew.
"""

import contextlib
import hashlib
import logging
import os
import tempfile
import time
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from meshes.layout.setout import SetOut
from meshes.light.blocks import Layers
from meshes.light.lamps import Lighting
from meshes.light.packed import Arrays, site_arrays, transport_arrays, transport_from
from meshes.light.packed_layers import layers_arrays, layers_from
from meshes.light.plan import solid
from meshes.light.room import Room
from meshes.light.site import sites
from meshes.light.transport import VERSION, Transport, solve_lighting
from meshes.solids.props import PropBox

log = logging.getLogger(__name__)

T = TypeVar("T")

_SUFFIX, _PART = ".npz", ".part"
_LONGEST_WRITING_S = 3600
"""No file takes so long to write: whoever began an older ``.part`` was killed."""
_UNREADABLE = (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile)


def content_key(kind: str, arrays: Mapping[str, NDArray[Any]]) -> str:
    """A name for what ``arrays`` hold: sha-256 over kind, version, and every name, shape, type and byte."""
    digest = hashlib.sha256(f"{kind} {VERSION}".encode())
    for name in sorted(arrays):
        array = np.ascontiguousarray(arrays[name])
        digest.update(f"|{name}|{array.dtype.str}|{array.shape}|".encode())
        digest.update(array.tobytes())
    return f"{kind}-{digest.hexdigest()[:40]}"


def transport_key(
    set_outs: Sequence[SetOut], room: Room, lighting: Lighting, props: Sequence[PropBox] = ()
) -> str:
    """The key of a lighting's transport."""
    arrays: Arrays = {"props": np.array([(*low, *high, body) for low, high, body in props], dtype=np.float64)}
    for number, where in enumerate(sites(set_outs, room, lighting, solid(props))):
        arrays.update({f"{number}:{name}": array for name, array in site_arrays(where).items()})
    return content_key("transport", arrays)


@dataclass(frozen=True, slots=True, kw_only=True)
class LightStore:
    """Files in ``folder`` (made when first written to), together at most ``limit_bytes``."""

    folder: Path
    limit_bytes: int = 2_000_000_000

    def transport(
        self,
        set_outs: Sequence[SetOut],
        room: Room,
        lighting: Lighting,
        props: Sequence[PropBox] = (),
    ) -> Transport:
        """The transport of a lighting, solved only where no readable file holds it."""
        key = transport_key(set_outs, room, lighting, props)
        return self._kept(
            key, transport_from, lambda: solve_lighting(set_outs, room, lighting, props), transport_arrays
        )

    def layers(self, parts: Mapping[str, NDArray[Any]], make: Callable[[], Layers]) -> Layers:
        """Layers by ``parts``: every array that they depend on (camera, size, mask, the transport's key)."""
        return self._kept(content_key("layers", parts), layers_from, make, layers_arrays)

    def _kept(
        self,
        key: str,
        read: Callable[[Mapping[str, NDArray[Any]]], T],
        make: Callable[[], T],
        written: Callable[[T], Arrays],
    ) -> T:
        arrays = self.load(key)
        if arrays is not None:
            try:
                return read(arrays)
            except _UNREADABLE:
                self._drop(key)
        made = make()
        try:
            self.save(key, written(made))
        except OSError as error:  # a full disk costs the next solve, not this picture
            log.warning("solved light was not kept: %s", error.strerror or type(error).__name__)
        return made

    def load(self, key: str) -> Arrays | None:
        """The arrays of a key, or None where there are none or the file is damaged (it is then removed)."""
        path = self.folder / (key + _SUFFIX)
        try:
            with path.open("rb") as raw, np.load(raw, allow_pickle=False) as file:
                arrays = {name: file[name] for name in file.files}
            os.utime(path)  # read just now: the last to go when room is needed
        except FileNotFoundError:
            return None
        except _UNREADABLE:
            self._drop(key)
            return None
        return arrays

    def save(self, key: str, arrays: Mapping[str, NDArray[Any]]) -> None:
        """Write all or nothing, then make room. Raises OSError where the folder cannot be written to."""
        self.folder.mkdir(parents=True, exist_ok=True)
        self._drop_parts()
        handle, name = tempfile.mkstemp(dir=self.folder, suffix=_PART)
        try:
            with os.fdopen(handle, "wb") as file:
                np.savez(file, **dict(arrays))  # type: ignore[arg-type]
            os.replace(name, self.folder / (key + _SUFFIX))
        except BaseException:
            with contextlib.suppress(FileNotFoundError):
                os.unlink(name)
            raise
        self._make_room(spare=key)

    def _drop(self, key: str) -> None:
        with contextlib.suppress(FileNotFoundError):
            (self.folder / (key + _SUFFIX)).unlink()

    def _drop_parts(self) -> None:
        """Remove what killed processes left half written."""
        for path in self.folder.glob("*" + _PART):
            with contextlib.suppress(FileNotFoundError):
                if time.time() - path.stat().st_mtime > _LONGEST_WRITING_S:
                    path.unlink()

    def _make_room(self, spare: str) -> None:
        """Remove the least recently used files until the limit holds; ``spare`` stays."""
        files = []
        for path in self.folder.glob("*" + _SUFFIX):
            with contextlib.suppress(FileNotFoundError):  # another process may have removed it
                status = path.stat()
                files.append((status.st_mtime_ns, status.st_size, path))
        total = sum(size for _, size, _ in files)
        for _, size, path in sorted(files):
            if total <= self.limit_bytes:
                return
            if path.stem != spare:
                with contextlib.suppress(FileNotFoundError):
                    path.unlink()
                total -= size
