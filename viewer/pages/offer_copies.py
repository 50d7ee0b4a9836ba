"""Smaller copies of an offer's stills, for the file that goes by mail and for paper."""

import io

import numpy as np
from PIL import Image

from finishes.adaptation import decode_srgb, encode_srgb


def copy_of(data: bytes, *, width: int, quality: int) -> bytes:
    """A JPEG of one of our own stills, ``width`` pixels wide, colour at full resolution.

    Resampled in light, not in its encoding: else fine slats would come out darker than they are.
    """
    with Image.open(io.BytesIO(data)) as opened:
        still = opened.convert("RGB")
    if still.width > width:
        size = width, round(still.height * width / still.width)
        light = decode_srgb(np.asarray(still, np.float32) / 255)
        channels = [
            np.asarray(Image.fromarray(light[..., channel]).resize(size, Image.Resampling.BOX))
            for channel in range(3)
        ]
        encoded = 255 * encode_srgb(np.stack(channels, axis=-1))
        still = Image.fromarray(np.rint(encoded.clip(0, 255)).astype(np.uint8))
    kept = io.BytesIO()
    still.save(kept, "JPEG", quality=quality, subsampling=0, optimize=True)
    return kept.getvalue()
