"""16-bit RGB in PNG files (ISO/IEC 15948), which Pillow reads and writes with eight bits only.

Read: colour types 2 and 6 (red, green, blue, perhaps opacity), not interlaced; the orientation of an eXIf
chunk. Everything else is refused by name, so that a person can save it again.
"""

import struct
import zlib
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from finishes.tiff import LARGEST_PIXELS, TiffError, directory

SIGNATURE = b"\x89PNG\r\n\x1a\n"
RGB, RGB_AND_OPACITY = 2, 6
NONE, SUB, UP, AVERAGE, PAETH = range(5)
"""The filters of a row (clause 9.2)."""
ORIENTATION = 274

Bytes = NDArray[np.uint8]


class PngError(ValueError):
    """The file is not a PNG that can be read here; the text says why and what would be."""


def is_16_bit_png(data: bytes) -> bool:
    """Whether the bytes are a PNG whose samples have sixteen bits."""
    return data[:8] == SIGNATURE and data[12:16] == b"IHDR" and data[24:25] == b"\x10"


def read_16_bit_png(data: bytes) -> tuple[NDArray[np.uint16], int]:
    """(h, w, 3) samples and the orientation 1..8 of the eXIf chunk. Raises PngError."""
    chunks = list(_chunks(data))
    if len(chunks[0][1]) != 13:
        raise PngError("the PNG is damaged; save it again")
    width, height, _, colours, _, _, interlaced = struct.unpack(">IIBBBBB", chunks[0][1])
    if not 0 < width * height <= LARGEST_PIXELS:
        raise PngError(
            f"the PNG has {width} × {height} pixels; at most {LARGEST_PIXELS // 1_000_000} million fit"
        )
    if colours not in (RGB, RGB_AND_OPACITY):
        raise PngError("the PNG does not hold red, green and blue; save it as RGB")
    if interlaced:
        raise PngError("the PNG is interlaced; save it without interlacing")
    step = 2 * (3 if colours == RGB else 4)
    packed = b"".join(body for kind, body in chunks if kind == b"IDAT")
    wanted = height * (1 + width * step)
    try:
        raw = zlib.decompressobj().decompress(packed, wanted)
    except zlib.error as error:
        raise PngError("the PNG is damaged; save it again") from error
    if len(raw) < wanted:
        raise PngError("the PNG is cut short; copy it again")
    rows = np.frombuffer(raw, np.uint8, wanted).reshape(height, 1 + width * step)
    if (rows[:, 0] > PAETH).any():
        raise PngError("the PNG is damaged; save it again")
    values = _unfiltered(rows[:, 0], rows[:, 1:].reshape(height, width, step))
    samples = np.ascontiguousarray(values[..., :6]).view(">u2").astype(np.uint16)
    return samples, _orientation(dict(chunks).get(b"eXIf"))


def write_16_bit_png(samples: NDArray[np.uint16]) -> bytes:
    """The PNG of (h, w, 3) samples: every row stored as what it differs by from the row above."""
    height, width, _ = samples.shape
    rows = np.ascontiguousarray(samples.astype(">u2")).view(np.uint8).reshape(height, width * 6)
    above = np.concatenate([np.zeros_like(rows[:1]), rows[:-1]])
    packed = np.empty((height, 1 + width * 6), np.uint8)
    packed[:, 0], packed[:, 1:] = UP, rows - above
    head = struct.pack(">IIBBBBB", width, height, 16, RGB, 0, 0, 0)
    body = zlib.compress(packed.tobytes(), 6)
    return SIGNATURE + b"".join(
        struct.pack(">I4s", len(part), kind) + part + struct.pack(">I", zlib.crc32(kind + part))
        for kind, part in ((b"IHDR", head), (b"IDAT", body), (b"IEND", b""))
    )


def _chunks(data: bytes) -> Iterator[tuple[bytes, bytes]]:
    """(kind, body) of each chunk up to IEND; each carries its length, kind and a check sum (clause 5.3)."""
    at = len(SIGNATURE)
    while True:
        if at + 12 > len(data):
            raise PngError("the PNG is cut short; copy it again")
        length, kind = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        if len(body) < length or at + 12 + length > len(data):
            raise PngError("the PNG is cut short; copy it again")
        (check,) = struct.unpack_from(">I", data, at + 8 + length)
        if zlib.crc32(kind + body) != check:
            raise PngError("the PNG is damaged; save it again")
        if kind == b"IEND":
            return
        yield kind, body
        at += 12 + length


def _unfiltered(filters: Bytes, given: Bytes) -> Bytes:
    """Undo the filters (clause 9.2): each byte was stored as what is left of a guess from its neighbours.

    filters : (h,); given : (h, w, step). A byte needs the one to its left, above, and above to the left, so
    whole diagonals from lower left to upper right are worked out at once::

        . . c b      c above left, b above, a left, x next; x of every row on one diagonal
        . a x
    """
    height, width, step = given.shape
    found = np.zeros_like(given)
    nothing = np.zeros((height + 1, step), np.int16)
    before, before_that = nothing.copy(), nothing.copy()  # row r of a diagonal stands at r + 1
    which = filters.astype(np.int16)[:, None]
    for diagonal in range(height + width - 1):
        first, last = max(0, diagonal - width + 1), min(height, diagonal + 1)
        rows = np.arange(first, last)
        kinds = which[first:last]
        left, above, corner = before[first + 1 : last + 1], before[first:last], before_that[first:last]
        guess = np.where(kinds == SUB, left, np.where(kinds == UP, above, 0))
        guess = np.where(kinds == AVERAGE, (left + above) >> 1, guess)
        guess = np.where(kinds == PAETH, _paeth(left, above, corner), guess)
        values = (given[rows, diagonal - rows] + guess) & 0xFF
        found[rows, diagonal - rows] = values
        now = nothing.copy()
        now[first + 1 : last + 1] = values
        before, before_that = now, before
    return found


def _paeth(left: NDArray[np.int16], above: NDArray[np.int16], corner: NDArray[np.int16]) -> NDArray[np.int16]:
    """Whichever of the three is nearest to left + above - corner; ties in that order (clause 9.4)."""
    estimate = left + above - corner
    to_left, to_above, to_corner = abs(estimate - left), abs(estimate - above), abs(estimate - corner)
    nearest = np.where(to_above <= to_corner, above, corner)
    return np.where((to_left <= to_above) & (to_left <= to_corner), left, nearest)


def _orientation(exif: bytes | None) -> int:
    if exif is None:
        return 1
    try:
        found = directory(exif)[0].get(ORIENTATION, (1,))[0]
    except (TiffError, struct.error, IndexError):
        return 1
    return found if 1 <= found <= 8 else 1
