"""The side of a measurement that opens foreign bytes: what a photograph gives, or why it gives nothing.

Runs in a process of its own where the photograph comes from the web, so it takes and gives plain JSON.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np

from finishes.chart_fit import RefusedError
from finishes.photo import Corners, Photo, PhotoError, homography, read_photo
from finishes.png import write_16_bit_png
from finishes.sample import Shot, read_shot

LONGEST_SIDE = 1200
"""Of the picture that is kept: a patch of a chart that fills it has some 150 pixels a side."""

Json = dict[str, Any]


def read_preview(data: bytes) -> bytes | str:
    """A photograph of any kind that can be measured, upright and smaller: to mark corners on and to measure.

    A PNG of 16 bits, each pixel the mean of a block, so that nothing is lost that a colour is read from; a
    block that is mostly clipped stays clipped.
    """
    try:
        photo = read_photo(data)
    except PhotoError as error:
        return str(error)
    height, width = photo.samples.shape[:2]
    full = 2**photo.bits - 1
    side = max(1, -(-max(height, width) // LONGEST_SIDE))
    kept = np.empty((height // side, width // side, 3), np.uint16)
    for row in range(len(kept)):
        band = photo.samples[row * side : (row + 1) * side, : kept.shape[1] * side]
        blocks = band.reshape(side, kept.shape[1], side, 3)
        mean = blocks.mean(axis=(0, 2), dtype=np.float32) / full
        mean[(blocks >= photo.clip * full).mean(axis=(0, 2), dtype=np.float32) > 0.5] = 1.0
        mean[(blocks == 0).mean(axis=(0, 2), dtype=np.float32) > 0.5] = 0.0
        kept[row] = np.rint(mean * 65535)
    return write_16_bit_png(kept)


def read_off_cut(data: bytes, given: str) -> bytes:
    """``{"xyz_d65": […], "left_out_de": …}``, or ``{"problems": [[about, sentence], …]}``, as JSON.

    given : JSON of corners (``off_cut``; ``chart`` or ``card``) in shares of the upright picture or, where
    ``in_pixels``, in its pixels; ``vintage``, ``card_y`` and ``cache_dir``. ``about`` is one of the corners'
    names, or empty for the file itself.
    """
    wanted: Json = json.loads(given)
    try:
        photo = read_photo(data)
    except PhotoError as error:
        return _problems([("", str(error))])
    corners, problems = _pixels(photo, wanted)
    if problems:
        return _problems(problems)
    shot = Shot(
        photo=photo,
        off_cut=corners["off_cut"],
        chart=corners.get("chart"),
        card=corners.get("card"),
        vintage=wanted["vintage"],
        card_y=wanted["card_y"],
    )
    cache_dir = Path(wanted["cache_dir"]) if wanted["cache_dir"] else None
    try:
        reading = read_shot(shot, cache_dir=cache_dir)
    except RefusedError as refused:
        return _problems(list(refused.problems))
    found = {"xyz_d65": reading.xyz_d65.tolist(), "left_out_de": reading.left_out_de}
    return json.dumps(found).encode()


def _pixels(photo: Photo, wanted: Json) -> tuple[dict[str, Corners], list[tuple[str, str]]]:
    """The corners in pixels of this photograph, each outline tried by itself."""
    height, width = photo.samples.shape[:2]
    wide, high = (1, 1) if wanted["in_pixels"] else (width, height)
    corners: dict[str, Corners] = {}
    problems = []
    for name in ("off_cut", "chart", "card"):
        if wanted[name] is None:
            continue
        first, second, third, fourth = ((x * wide, y * high) for x, y in wanted[name])
        corners[name] = (first, second, third, fourth)
        if not all(0 <= x <= width and 0 <= y <= height for x, y in corners[name]):
            problems.append((name, f"a corner lies outside the photograph of {width} × {height} pixels"))
            continue
        try:
            homography(corners[name])
        except PhotoError as error:
            problems.append((name, str(error)))
    return corners, problems


def _problems(found: list[tuple[str, str]]) -> bytes:
    return json.dumps({"problems": found}).encode()
