"""A pack as one ZIP archive: the same bytes for the same files, without moments or owners."""

import io
import zipfile
from collections.abc import Mapping

FIRST_MOMENT = (1980, 1, 1, 0, 0, 0)
"""The earliest that the format can say; nothing here reads a clock."""
STORED = (".png", ".jpg", ".xlsx", ".zip")
"""Compressed already."""


def zip_bytes(files: Mapping[str, bytes], *, folder: str = "") -> bytes:
    """The files in the order of their names, below one ``folder`` where it is named."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as archive:
        for name, data in sorted(files.items()):
            entry = zipfile.ZipInfo(f"{folder}/{name}" if folder else name, date_time=FIRST_MOMENT)
            entry.compress_type = zipfile.ZIP_STORED if name.endswith(STORED) else zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return held.getvalue()
