"""Simulated photographs of a stained off-cut beside a chart, and the files that cameras keep them in.

Chart reflectances (24 patches) and the camera's sensitivities are bundled with colour-science; the off-cuts
are the model's own finishes, seen by that camera under LED-B3. The chart's reference values are another
specimen's than the spectra's (their makers' vintages differ by 0.9 on the mean), so the fit cannot be better
than that.
"""

import io
import struct
import warnings
import zlib
from collections.abc import Sequence
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from finishes.choice import Finish
from finishes.lamps import lamp
from finishes.photo import Corners, homography
from finishes.spectra import WAVELENGTHS_NM, Floats

CHART: Corners = ((60.0, 45.0), (280.0, 35.0), (290.0, 185.0), (50.0, 175.0))
OFF_CUT: Corners = ((60.0, 215.0), (210.0, 215.0), (210.0, 270.0), (60.0, 270.0))
CARD: Corners = ((230.0, 215.0), (300.0, 215.0), (300.0, 270.0), (230.0, 270.0))
SIZE = (350, 300)

FINISHES = [
    Finish(timber="Scots pine", stain="light oak", topcoat="oil"),
    Finish(timber="European oak", stain="walnut", topcoat="oil"),
    Finish(timber="European ash", stain="limed white", topcoat="matt"),
    Finish(timber="Norway spruce", stain="chestnut", topcoat="satin"),
    Finish(timber="European oak", stain="charcoal", topcoat="matt"),
]


@cache
def camera() -> Floats:
    """(41, 3) sensitivities of a digital SLR, as colour-science bundles them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        data = colour.MSDS_CAMERA_SENSITIVITIES["Nikon 5100 (NPL)"]
    rows = [np.interp(WAVELENGTHS_NM, data.wavelengths, data.values[:, n]) for n in range(3)]
    return np.stack(rows, axis=1)


@cache
def patches() -> Floats:
    """(24, 41) reflectances of the chart's patches."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

        data = colour.SDS_COLOURCHECKERS["ColorChecker N Ohta"]
    return np.stack([np.interp(WAVELENGTHS_NM, sd.wavelengths, sd.values) for sd in data.values()])


def scene(off_cut: Floats, *, exposure: float = 0.85, gamma: float = 1 / 2.2, noise: float = 0.01) -> Floats:
    """A picture, (h, w, 3) encoded 0..1: chart, off-cut and grey card in front of a mid grey."""
    light = lamp("LED-B3").spd[:, None] * camera()
    light = light / (np.ones(41) @ light)
    picture = np.full((SIZE[1], SIZE[0], 3), 0.2)
    columns, rows = np.meshgrid(np.arange(SIZE[0]) + 0.5, np.arange(SIZE[1]) + 0.5)

    def place(corners: Corners) -> tuple[Floats, Floats, NDArray[np.bool_]]:
        back = np.linalg.inv(homography(corners))
        mapped = np.stack([columns, rows, np.ones_like(rows)], axis=-1) @ back.T
        u, v = mapped[..., 0] / mapped[..., 2], mapped[..., 1] / mapped[..., 2]
        return u, v, (u >= 0) & (u < 1) & (v >= 0) & (v < 1)

    u, v, inside = place(CHART)
    column, row = np.floor(u * 6).astype(int), np.floor(v * 4).astype(int)
    framed = inside & (np.abs(u * 6 % 1 - 0.5) < 0.42) & (np.abs(v * 4 % 1 - 0.5) < 0.42)
    picture[inside] = 0.03
    picture[framed] = (patches() @ light)[(row * 6 + column)[framed]]
    for corners, reflectance in ((OFF_CUT, off_cut), (CARD, np.full(41, 0.18))):
        picture[place(corners)[2]] = reflectance @ light
    random = np.random.default_rng(7)
    picture = picture * exposure * (1 + noise * random.standard_normal(picture.shape))
    return np.clip(picture, 0, 1) ** gamma


def png(picture: Floats) -> bytes:
    file = io.BytesIO()
    Image.fromarray(np.round(picture * 255).astype(np.uint8)).save(file, "PNG")
    return file.getvalue()


def jpeg(picture: Floats, orientation: int = 1) -> bytes:
    image = Image.fromarray(np.round(picture * 255).astype(np.uint8))
    exif = Image.Exif()
    exif[274] = orientation
    file = io.BytesIO()
    image.save(file, "JPEG", quality=95, subsampling=0, exif=exif)
    return file.getvalue()


def tiff_16(
    picture: Floats, *, order: str = "<", deflate: bool = False, predictor: bool = False, orientation: int = 1
) -> bytes:
    """A classic TIFF as the TIFF 6.0 specification lays it out: header, two strips, one directory."""
    samples = np.round(picture * 65535).astype(np.uint16)
    height, width, _ = samples.shape
    if predictor:
        samples = np.concatenate([samples[:, :1], np.diff(samples, axis=1)], axis=1)
    split = height // 2 + 1
    strips = [samples[:split].astype(f"{order}u2").tobytes(), samples[split:].astype(f"{order}u2").tobytes()]
    if deflate:
        strips = [zlib.compress(strip) for strip in strips]
    body = bytearray(b"II*\0" if order == "<" else b"MM\0*") + struct.pack(f"{order}I", 0)
    offsets = []
    for strip in strips:
        offsets.append(len(body))
        body += strip + b"\0" * (len(strip) % 2)
    bits, places, counts = len(body), len(body) + 6, len(body) + 14
    body += struct.pack(f"{order}3H", 16, 16, 16)
    body += struct.pack(f"{order}2I", *offsets) + struct.pack(f"{order}2I", *map(len, strips))
    tags = [
        (256, 4, 1, width),
        (257, 4, 1, height),
        (258, 3, 3, bits),
        (259, 3, 1, 8 if deflate else 1),
        (262, 3, 1, 2),
        (273, 4, 2, places),
        (274, 3, 1, orientation),
        (277, 3, 1, 3),
        (278, 4, 1, split),
        (279, 4, 2, counts),
        (284, 3, 1, 1),
        (317, 3, 1, 2 if predictor else 1),
    ]
    body[4:8] = struct.pack(f"{order}I", len(body))
    body += struct.pack(f"{order}H", len(tags))
    for tag, kind, number, value in tags:
        field = (
            struct.pack(f"{order}HH", value, 0)
            if kind == 3 and number == 1
            else struct.pack(f"{order}I", value)
        )
        body += struct.pack(f"{order}HHI", tag, kind, number) + field
    return bytes(body + struct.pack(f"{order}I", 0))


def png_16(
    picture: Floats, *, filters: Sequence[int] = (4,), orientation: int = 1, opacity: bool = False
) -> bytes:
    """A PNG of 16 bits a sample as ISO/IEC 15948 lays it out; row after row takes the next of the filters."""
    samples = np.round(picture * 65535).astype(np.uint16)
    if opacity:
        samples = np.concatenate([samples, np.full((*samples.shape[:2], 1), 65535, np.uint16)], axis=-1)
    height, width, channels = samples.shape
    step = 2 * channels
    rows = samples.astype(">u2").view(np.uint8).reshape(height, width * step).astype(int)
    above = np.zeros(width * step, int)
    packed = bytearray()
    for number, row in enumerate(rows):
        left, corner = (np.concatenate([np.zeros(step, int), one[:-step]]) for one in (row, above))
        kind = filters[number % len(filters)]
        guess = (0 * row, left, above, (left + above) // 2, _nearest(left, above, corner))[kind]
        packed += bytes([kind]) + ((row - guess) % 256).astype(np.uint8).tobytes()
        above = row
    head = struct.pack(">IIBBBBB", width, height, 16, 6 if opacity else 2, 0, 0, 0)
    exif = b"II*\0" + struct.pack("<IHHHIII", 8, 1, 274, 3, 1, orientation, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", head)
        + _chunk(b"eXIf", exif)
        + _chunk(b"IDAT", zlib.compress(bytes(packed)))
        + _chunk(b"IEND", b"")
    )


def _nearest(left: NDArray[Any], above: NDArray[Any], corner: NDArray[Any]) -> NDArray[Any]:
    """Paeth's predictor, written as the standard words it: the neighbour nearest to a + b - c."""
    estimate = left + above - corner
    away = np.stack([abs(estimate - left), abs(estimate - above), abs(estimate - corner)])
    return np.asarray(np.choose(away.argmin(axis=0), [left, above, corner]))


def _chunk(kind: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
