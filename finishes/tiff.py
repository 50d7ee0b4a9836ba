"""16-bit RGB from a TIFF file (TIFF 6.0, baseline): Pillow would keep only eight of the sixteen bits.

Read: both byte orders, strips, no compression or deflate (with or without the horizontal predictor), chunky
RGB with or without further samples. Everything else is refused by name, so that a person can save it again.
"""

import struct
import zlib

import numpy as np
from numpy.typing import NDArray

_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 16: 8}
_FORMATS = {1: "B", 2: "c", 3: "H", 4: "I", 16: "Q"}
LARGEST_PIXELS = 80_000_000


class TiffError(ValueError):
    """The file is not a TIFF that can be read here; the text says why and what would be."""


def is_16_bit_tiff(data: bytes) -> bool:
    """Whether the bytes are a classic TIFF whose samples have sixteen bits."""
    try:
        tags, _ = directory(data)
    except (TiffError, struct.error):
        return False
    return bool(tags.get(258)) and all(bits == 16 for bits in tags[258])


def read_16_bit_tiff(data: bytes) -> tuple[NDArray[np.uint16], int]:
    """(h, w, 3) samples and the orientation tag 1..8. Raises TiffError."""
    try:
        return _read(data)
    except (struct.error, zlib.error, KeyError, IndexError, ValueError) as error:
        if isinstance(error, TiffError):
            raise
        raise TiffError("the TIFF is damaged or cut short; save it again") from error


def _read(data: bytes) -> tuple[NDArray[np.uint16], int]:
    tags, order = directory(data)
    width, height = tags[256][0], tags[257][0]
    samples = tags.get(277, (1,))[0]
    compression = tags.get(259, (1,))[0]
    predictor = tags.get(317, (1,))[0]
    if not 0 < width * height <= LARGEST_PIXELS:
        raise TiffError(
            f"the TIFF has {width} × {height} pixels; at most {LARGEST_PIXELS // 1_000_000} million fit"
        )
    if 322 in tags:
        raise TiffError("the TIFF is stored in tiles; save it in strips")
    if compression not in (1, 8, 32946):
        raise TiffError(
            "the TIFF's compression is not read here; save it without compression or with deflate (ZIP)"
        )
    if tags.get(262, (2,))[0] != 2 or samples < 3 or tags.get(284, (1,))[0] != 1:
        raise TiffError("the TIFF does not hold red, green and blue together; save it as RGB")
    if tags.get(339, (1,))[0] != 1 or predictor not in (1, 2):
        raise TiffError("the TIFF's samples are not plain 16-bit numbers; save it as 16-bit RGB")
    rows_a_strip = min(tags.get(278, (height,))[0], height)
    strips = []
    for number, (offset, count) in enumerate(zip(tags[273], tags[279], strict=True)):
        rows = min(rows_a_strip, height - number * rows_a_strip)
        raw = data[offset : offset + count]
        wanted = rows * width * samples * 2
        if compression != 1:
            raw = zlib.decompressobj().decompress(raw, wanted)
        if len(raw) < wanted:
            raise TiffError("the TIFF is cut short; copy it again")
        strip = (
            np.frombuffer(raw[:wanted], dtype=f"{order}u2").astype(np.uint16).reshape(rows, width, samples)
        )
        if predictor == 2:
            strip = np.cumsum(strip, axis=1, dtype=np.uint16)
        strips.append(strip[..., :3])
    return np.concatenate(strips), int(tags.get(274, (1,))[0])


def directory(data: bytes) -> tuple[dict[int, tuple[int, ...]], str]:
    """The first directory: whole numbers by tag, and the byte order (``<`` or ``>``). Raises TiffError."""
    order = {b"II*\0": "<", b"MM\0*": ">"}.get(data[:4])
    if order is None:
        raise TiffError("not a TIFF file")
    (offset,) = struct.unpack_from(f"{order}I", data, 4)
    (count,) = struct.unpack_from(f"{order}H", data, offset)
    tags: dict[int, tuple[int, ...]] = {}
    for entry in range(count):
        tag, kind, number = struct.unpack_from(f"{order}HHI", data, offset + 2 + 12 * entry)
        if kind not in (1, 3, 4) or number > 10_000_000:
            continue
        where = offset + 2 + 12 * entry + 8
        if _SIZES[kind] * number > 4:
            (where,) = struct.unpack_from(f"{order}I", data, where)
        tags[tag] = struct.unpack_from(f"{order}{number}{_FORMATS[kind]}", data, where)
    return tags, order
