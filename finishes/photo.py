"""A photograph as numbers: JPEG, PNG or TIFF (eight or sixteen bits), turned upright, with patches sampled by
place.

Places are pixels of the picture as a viewer shows it upright (after its EXIF orientation), x right, y down.
"""

import io
import struct
import warnings
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from finishes.png import PngError, is_16_bit_png, read_16_bit_png
from finishes.spectra import Floats
from finishes.tiff import LARGEST_PIXELS, TiffError, is_16_bit_tiff, read_16_bit_tiff

Corners: TypeAlias = tuple[tuple[float, float], tuple[float, float], tuple[float, float], tuple[float, float]]
"""Top left, top right, bottom right, bottom left of the thing itself, wherever they lie in the picture."""

Samples: TypeAlias = NDArray[np.uint8] | NDArray[np.uint16]
Places: TypeAlias = NDArray[np.int_]

FORMATS = ("JPEG", "PNG", "TIFF")


class PhotoError(ValueError):
    """The file is not a photograph that can be read; the text says what would be."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Photo:
    """samples : (h, w, 3) 8 or 16 bits each, as the file encodes them, upright."""

    samples: Samples

    @property
    def bits(self) -> int:
        """8 or 16 a sample."""
        return 8 * self.samples.dtype.itemsize

    @property
    def clip(self) -> float:
        """Values from here up count as clipped: one step below full scale of eight bits."""
        return 254.0 / 255.0

    def values(self, x: Places, y: Places) -> Floats:
        """(n, 3) in 0..1 at these pixels; only what is looked at becomes floating point."""
        return self.samples[y, x] / float(2**self.bits - 1)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Patch:
    """A sampled region.

    points : (n, 3) encoded; middle : (3,) mean without the outer tenth at either end (the median of whole
        8-bit
    steps would round); spread : relative; clipped : share of points at either end of the scale.
    """

    points: Floats
    middle: Floats
    spread: float
    clipped: float


def read_photo(data: bytes) -> Photo:
    """The photograph in these bytes. Raises PhotoError."""
    try:
        if is_16_bit_tiff(data):
            return Photo(samples=_upright(*read_16_bit_tiff(data)))
        if is_16_bit_png(data):
            return Photo(samples=_upright(*read_16_bit_png(data)))
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of data beside the pixels that cannot be read
            return Photo(samples=_eight_bits(data))
    except (TiffError, PngError) as error:
        raise PhotoError(str(error)) from error
    except Image.DecompressionBombError as error:
        raise PhotoError("the photograph has too many pixels; make it smaller") from error
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, struct.error) as error:
        if isinstance(error, PhotoError):
            raise
        raise PhotoError("the file is not a whole JPEG, PNG or TIFF photograph") from error


def _eight_bits(data: bytes) -> NDArray[np.uint8]:
    """(h, w, 3) by Pillow, upright."""
    with Image.open(io.BytesIO(data), formats=FORMATS) as image:
        if image.width * image.height > LARGEST_PIXELS:
            raise PhotoError(f"the photograph has {image.width} × {image.height} pixels; make it smaller")
        if image.mode not in ("RGB", "RGBA", "P"):
            raise PhotoError(f"the photograph is stored as {image.mode}; save it as RGB")
        return np.asarray(ImageOps.exif_transpose(image).convert("RGB"))


def _upright(samples: NDArray[np.uint16], orientation: int) -> NDArray[np.uint16]:
    """Undo the TIFF/EXIF orientation 1..8."""
    if orientation in (5, 6, 7, 8):
        samples = samples.transpose(1, 0, 2)
    if orientation in (3, 4, 7, 8):
        samples = samples[::-1]
    if orientation in (2, 3, 6, 7):
        samples = samples[:, ::-1]
    return samples


def homography(corners: Corners) -> Floats:
    """(3, 3) from the unit square (0,0) (1,0) (1,1) (0,1) to the four corners.

    Raises PhotoError when three corners lie on one line or the outline crosses itself.
    """
    points = np.asarray(corners, dtype=np.float64)
    if points.shape != (4, 2) or not np.isfinite(points).all() or not _convex(points):
        raise PhotoError(
            "the four corners do not go round an area: give top left, top right, bottom right, bottom left"
        )
    square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    rows, right = [], []
    for (u, v), (x, y) in zip(square, points, strict=True):
        rows += [[u, v, 1, 0, 0, 0, -x * u, -x * v], [0, 0, 0, u, v, 1, -y * u, -y * v]]
        right += [x, y]
    solved = np.linalg.solve(np.array(rows), np.array(right))
    result: Floats = np.append(solved, 1.0).reshape(3, 3)
    return result


def _convex(points: Floats) -> bool:
    edges = np.roll(points, -1, axis=0) - points
    after = np.roll(edges, -1, axis=0)
    turns = edges[:, 0] * after[:, 1] - edges[:, 1] * after[:, 0]
    return bool((turns > 1.0).all() or (turns < -1.0).all())


def sample_region(
    photo: Photo, square: Floats, *, inside: tuple[float, float, float, float], steps: int
) -> Patch:
    """Points of one region of the unit square that ``square`` maps into the picture.

    inside : left, top, right, bottom within the unit square; steps : points a side.
    Raises PhotoError when any of it lies outside the picture.
    """
    left, top, right, bottom = inside
    u, v = np.meshgrid(
        left + (right - left) * (np.arange(steps) + 0.5) / steps,
        top + (bottom - top) * (np.arange(steps) + 0.5) / steps,
    )
    mapped = np.stack([u, v, np.ones_like(u)], axis=-1) @ square.T
    places = np.floor(mapped[..., :2] / mapped[..., 2:]).astype(int).reshape(-1, 2)
    height, width = photo.samples.shape[:2]
    if (places < 0).any() or (places >= (width, height)).any():
        raise PhotoError(f"a corner lies outside the photograph of {width} × {height} pixels")
    points = photo.values(places[:, 0], places[:, 1])
    tenth = len(points) // 10
    middle = np.sort(points, axis=0)[tenth : len(points) - tenth].mean(axis=0)
    spread = float(np.median(np.abs(points - middle)) / max(float(middle.mean()), 1.0 / 255.0))
    ends = (points >= photo.clip).any(axis=1) | (points <= 0.0).any(axis=1)
    return Patch(points=points, middle=middle, spread=spread, clipped=float(ends.mean()))
