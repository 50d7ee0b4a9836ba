"""The side of an upload that opens foreign bytes: alone in a process that may do little."""

import io
import resource
import warnings
from collections.abc import Callable
from multiprocessing.connection import Connection

from PIL import Image, ImageOps, UnidentifiedImageError

Reading = Callable[[bytes], "bytes | str"]
"""Takes foreign bytes; gives our own, or in words why not."""

GIVEN, REFUSED = b"\x00", b"\x01"
"""First byte of an answer: what follows is the new file, or in words why there is none."""
MEMORY_BYTES = 2 << 30
CPU_S = 30
PHOTO_FORMATS = ("JPEG", "PNG", "WEBP")
MOST_PIXELS = 60_000_000
LONGEST_SIDE = 2600
"""Of the kept photo: a sheet of paper stays legible at 220 dots an inch."""
SIGNATURE_SIDES = (1200, 600)


def answer(read: Reading, data: bytes, tells: Connection) -> None:
    """What the process does: bounds on memory and time, so that a bomb ends here, then the reading."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    result = read(data)
    tells.send_bytes(REFUSED + result.encode() if isinstance(result, str) else GIVEN + result)


def read_photo(data: bytes) -> bytes | str:
    """A photo turned upright, at most ``LONGEST_SIDE`` a side, as JPEG without any of its data but pixels."""
    opened = _opened(data, PHOTO_FORMATS, MOST_PIXELS)
    if isinstance(opened, str):
        return opened
    upright = ImageOps.exif_transpose(opened).convert("RGB")
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    return _encoded(upright, "JPEG")


def read_signature(data: bytes) -> bytes | str:
    """A drawn signature on white, in grey, as PNG."""
    width, height = SIGNATURE_SIDES
    opened = _opened(data, ("PNG",), width * height)
    if isinstance(opened, str):
        return opened
    drawn = opened.convert("RGBA")
    white = Image.new("RGBA", drawn.size, "white")
    grey = Image.alpha_composite(white, drawn).convert("L")
    if min(grey.tobytes()) > 200:  # nothing dark: an empty canvas
        return "expected a signature drawn in the field"
    return _encoded(grey, "PNG")


def _opened(data: bytes, formats: tuple[str, ...], most_pixels: int) -> Image.Image | str:
    named = ", ".join(formats)
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            image = Image.open(io.BytesIO(data), formats=formats)
            if image.width * image.height > most_pixels:
                return f"expected at most {most_pixels / 1e6:g} megapixels"
            image.load()
    except (UnidentifiedImageError, Image.DecompressionBombError, Image.DecompressionBombWarning):
        return f"expected a picture as {named} of at most {most_pixels / 1e6:g} megapixels"
    except (OSError, SyntaxError, ValueError, EOFError):
        return f"this {named} file is damaged"
    return image


def _encoded(image: Image.Image, kind: str) -> bytes:
    # a fresh image: neither info nor palette of the one that came in goes along
    fresh = Image.new(image.mode, image.size)
    fresh.paste(image)
    stream = io.BytesIO()
    fresh.save(stream, kind, **({"quality": 88} if kind == "JPEG" else {"optimize": True}))
    return stream.getvalue()
