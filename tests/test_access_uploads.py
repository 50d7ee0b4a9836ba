"""Pictures that people send: by content from a list of formats, never too large, never more than pixels."""

import io
import os
import pickle
import struct
import zlib
from multiprocessing.connection import Connection
from typing import Any

import pytest
from PIL import Image

from viewer import uploads
from viewer.uploads import UploadError, apart
from viewer.uploads_worker import LONGEST_SIDE, PHOTO_FORMATS, read_photo, read_signature


def picture(kind: str = "JPEG", size: tuple[int, int] = (64, 48), **more: Any) -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", size, (200, 30, 30)).save(stream, kind, **more)
    return stream.getvalue()


def claiming(width: int, height: int) -> bytes:
    """A PNG of a few bytes whose head promises a picture of that size."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("kind", PHOTO_FORMATS)
def test_listed_formats_come_back_as_a_fresh_jpeg(kind: str) -> None:
    made = read_photo(picture(kind))
    assert isinstance(made, bytes)
    with Image.open(io.BytesIO(made)) as opened:
        assert (opened.format, opened.size) == ("JPEG", (64, 48))


@pytest.mark.parametrize("kind", ["GIF", "BMP", "TIFF", "PPM", "ICO"])
def test_other_formats_are_refused_whatever_their_name(kind: str) -> None:
    assert read_photo(picture(kind)) == "expected a picture as JPEG, PNG, WEBP of at most 60 megapixels"


@pytest.mark.parametrize("data", [b"", b"<svg xmlns='x'/>", b"%!PS", b"%PDF-1.7", b"GIF89a", b"\xff\xd8\xff"])
def test_what_is_no_picture_is_refused(data: bytes) -> None:
    assert isinstance(read_photo(data), str)


def test_a_bomb_is_refused_by_its_head_before_it_is_opened() -> None:
    assert read_photo(claiming(60_000, 60_000)) == (
        "expected a picture as JPEG, PNG, WEBP of at most 60 megapixels"
    )
    assert read_photo(claiming(10_000, 7_000)) == "expected at most 60 megapixels"
    assert isinstance(read_signature(claiming(1201, 600)), str)


def test_a_cut_file_is_damaged() -> None:
    whole = picture("PNG", size=(300, 300))
    assert read_photo(whole[: len(whole) // 2]) == "this JPEG, PNG, WEBP file is damaged"


def test_place_camera_and_what_hangs_behind_do_not_come_along() -> None:
    exif = Image.Exif()
    exif[0x8825] = {1: "N", 2: (52.0, 30.0, 0.0)}
    exif[0x010F] = "Invented Cameras"
    exif[0x0112] = 6  # lies on its side
    made = read_photo(picture("JPEG", exif=exif, comment=b"secret words") + b"<script>alert(1)</script>")
    assert isinstance(made, bytes)
    for word in (b"Invented", b"secret", b"script", b"Exif"):
        assert word not in made
    with Image.open(io.BytesIO(made)) as opened:
        assert opened.size == (48, 64), "not turned upright"
        assert set(opened.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_large_photos_are_made_smaller() -> None:
    made = read_photo(picture(size=(5200, 40)))
    assert isinstance(made, bytes)
    with Image.open(io.BytesIO(made)) as opened:
        assert opened.size == (LONGEST_SIDE, 20)


def test_an_empty_signature_is_none() -> None:
    stream = io.BytesIO()
    Image.new("RGBA", (900, 240)).save(stream, "PNG")
    assert read_signature(stream.getvalue()) == "expected a signature drawn in the field"


def test_too_many_bytes_are_refused_unopened(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(uploads, "apart", None)
    with pytest.raises(UploadError, match="at most 25 MB"):
        uploads.photo(b"x" * ((25 << 20) + 1))
    with pytest.raises(UploadError, match="at most 200 kB"):
        uploads.signature(b"x" * 200_001)


class Acts:
    """An object that writes a file when it is unpickled."""

    def __init__(self, path: str) -> None:
        self.path = path

    def __reduce__(self) -> tuple[Any, ...]:
        return os.mkdir, (self.path,)


def taken_over(data: bytes) -> bytes | str:
    """A reader that foreign bytes have taken over: it sends an object instead of an answer."""
    import gc

    for found in gc.get_objects():
        if isinstance(found, Connection):
            found.send_bytes(pickle.dumps(Acts(data.decode())))
    return b""


def dies(data: bytes) -> bytes | str:
    os.abort()


def test_a_reader_that_was_taken_over_or_dies_reaches_nothing(tmp_path: Any) -> None:
    made = tmp_path / "made"
    with pytest.raises(UploadError):
        apart(taken_over, str(made).encode())
    assert not made.exists()
    with pytest.raises(UploadError, match="more memory or time"):
        apart(dies, b"")
