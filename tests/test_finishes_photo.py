"""Photographs as numbers: every format, sixteen bits kept, turned upright, and what is refused."""

import io
import struct
import zlib
from collections.abc import Callable

import numpy as np
import pytest
from photographs import CHART, FINISHES, OFF_CUT, jpeg, png, png_16, scene, tiff_16
from PIL import Image

from finishes.appearance import appearance
from finishes.catalogue import Catalogue
from finishes.difference import ciede2000
from finishes.photo import PhotoError, read_photo
from finishes.sample import Shot, read_shots
from finishes.spectra import Floats
from finishes.tiff import TiffError, read_16_bit_tiff


def tiff_8(picture: Floats, orientation: int = 1) -> bytes:
    image = Image.fromarray(np.round(picture * 255).astype(np.uint8))
    file = io.BytesIO()
    image.save(file, "TIFF", tiffinfo={274: orientation})
    return file.getvalue()


def png_8(picture: Floats, orientation: int = 1) -> bytes:
    image = Image.fromarray(np.round(picture * 255).astype(np.uint8))
    exif = Image.Exif()
    exif[274] = orientation
    file = io.BytesIO()
    image.save(file, "PNG", exif=exif)
    return file.getvalue()


@pytest.mark.parametrize(
    "encode",
    [
        png,
        jpeg,
        png_16,
        tiff_8,
        tiff_16,
        lambda picture: tiff_16(picture, order=">"),
        lambda picture: tiff_16(picture, deflate=True),
        lambda picture: tiff_16(picture, deflate=True, predictor=True),
    ],
    ids=[
        "png",
        "jpeg",
        "png of 16 bits",
        "tiff of 8 bits",
        "tiff",
        "tiff big-endian",
        "tiff deflate",
        "tiff deflate predictor",
    ],
)
def test_every_format_gives_the_same_colour(catalogue: Catalogue, encode: Callable[[Floats], bytes]) -> None:
    picture = scene(appearance(FINISHES[1], catalogue).seen())
    shot = Shot(photo=read_photo(encode(picture)), off_cut=OFF_CUT, chart=CHART)
    reference = Shot(photo=read_photo(png(picture)), off_cut=OFF_CUT, chart=CHART)
    found, expected = (read_shots([one], catalogue).lab_d65 for one in (shot, reference))
    # a JPEG rounds brightness and colour to whole steps: half a step of 87 is 1.3 % of the light
    assert ciede2000(found, expected) < (2.0 if encode is jpeg else 0.3)


@pytest.mark.parametrize("encode", [tiff_16, png_16])
def test_sixteen_bits_are_kept(encode: Callable[[Floats], bytes]) -> None:
    picture = np.linspace(0.1, 0.2, 64 * 64 * 3).reshape(64, 64, 3)
    photo = read_photo(encode(picture))
    assert photo.bits == 16
    assert np.abs(photo.samples / 65535 - picture).max() < 1 / 65535


@pytest.mark.parametrize("filters", [(0,), (1,), (2,), (3,), (4,), (0, 1, 2, 3, 4)])
@pytest.mark.parametrize("opacity", [False, True])
def test_every_filter_of_a_png_is_undone(filters: tuple[int, ...], opacity: bool) -> None:
    # ISO/IEC 15948 clause 9: none, sub, up, average, Paeth; noise, so that no byte is guessed by luck
    picture = np.random.default_rng(3).integers(0, 65536, (9, 13, 3)) / 65535
    photo = read_photo(png_16(picture, filters=filters, opacity=opacity))
    assert (photo.samples == np.round(picture * 65535)).all()


@pytest.mark.parametrize("orientation", range(1, 9))
def test_orientation_is_undone_in_every_format(orientation: int) -> None:
    # EXIF 2.3 tag 274; the JPEG as Pillow turns it
    picture = np.zeros((40, 64, 3))
    picture[:12, :16] = (0.9, 0.1, 0.1)
    picture[-12:, :16] = (0.1, 0.9, 0.1)
    turned = read_photo(jpeg(picture, orientation)).samples / 255
    corners = np.ix_([2, -3], [2, -3])
    assert len(np.unique(turned[corners].reshape(4, 3).round(1), axis=0)) == 3
    for data in (
        tiff_16(picture, orientation=orientation),
        png_16(picture, orientation=orientation),
        tiff_8(picture, orientation),
        png_8(picture, orientation),
    ):
        photo = read_photo(data)
        assert photo.samples.shape == turned.shape
        # a JPEG of flat areas is good to a few steps away from edges
        assert np.abs(turned[corners] - photo.samples[corners] / (2**photo.bits - 1)).max() < 0.02


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "not a whole JPEG, PNG or TIFF"),
        (b"GIF89a" + b"\0" * 50, "not a whole JPEG, PNG or TIFF"),
        (png(np.full((20, 20, 3), 0.5))[:-40], "not a whole JPEG, PNG or TIFF"),
        (png_16(np.full((20, 20, 3), 0.5))[:-40], "the PNG is cut short"),
        (
            png_16(np.full((20, 20, 3), 0.5)).replace(
                b"\0\0\0\x14\0\0\0\x14\x10", b"\0\0\0\x14\0\0\0\x15\x10"
            ),
            "the PNG is damaged",
        ),
        (
            tiff_16(np.full((20, 20, 3), 0.5)).replace(
                b"\x03\x01\x03\0\x01\0\0\0\x01\0", b"\x03\x01\x03\0\x01\0\0\0\x05\0"
            ),
            "compression",
        ),
    ],
    ids=["empty", "gif", "cut short", "16 bits cut short", "wrong check sum", "lzw"],
)
def test_files_that_are_no_photograph_are_refused(data: bytes, message: str) -> None:
    with pytest.raises(PhotoError, match=message):
        read_photo(data)


def test_a_tiff_cut_short_is_refused() -> None:
    whole = tiff_16(np.full((64, 64, 3), 0.5))
    directory = struct.unpack_from("<I", whole, 4)[0]
    with pytest.raises(TiffError):
        read_16_bit_tiff(whole[: directory + 20])


def test_greyscale_and_print_colours_are_refused() -> None:
    file = io.BytesIO()
    Image.new("CMYK", (8, 8)).save(file, "JPEG")
    with pytest.raises(PhotoError, match="stored as CMYK; save it as RGB"):
        read_photo(file.getvalue())


def head_of(width: int, height: int, bits: int, *, cut: int = 13) -> bytes:
    """A PNG that is nothing but a head."""
    body = struct.pack(">IIBBBBB", width, height, bits, 2, 0, 0, 0)[:cut]
    chunks = ((b"IHDR", body), (b"IDAT", b""), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I4s", len(part), kind) + part + struct.pack(">I", zlib.crc32(kind + part))
        for kind, part in chunks
    )


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (head_of(60_000, 60_000, 8), "too many pixels"),
        (head_of(10_000, 9_000, 8), "10000 × 9000 pixels; make it smaller"),
        (head_of(60_000, 60_000, 16), "at most 80 million fit"),
        (head_of(8, 8, 16, cut=9), "the PNG is damaged"),
        (head_of(8, 8, 16), "the PNG is cut short"),
    ],
)
def test_a_head_that_promises_too_much_or_too_little_is_refused(data: bytes, message: str) -> None:
    with pytest.raises(PhotoError, match=message):
        read_photo(data)
