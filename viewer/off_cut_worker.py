"""The side of a measurement that opens foreign bytes: what a photograph gives, or why it gives nothing.

Runs in a process of its own where the photograph comes from the web, so it takes and gives plain JSON.
"""

import io
import json
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image

from finishes.chart_fit import RefusedError
from finishes.photo import Corners, Photo, PhotoError, homography, read_photo
from finishes.sample import Shot, read_shot

LONGEST_SIDE = 2600
"""Of the picture on which corners are marked."""

Json = dict[str, Any]


def read_preview(data: bytes) -> bytes | str:
    """A photograph of any kind that can be measured, upright, as a JPEG to mark corners on."""
    try:
        photo = read_photo(data)
    except PhotoError as error:
        return str(error)
    eight = photo.samples if photo.bits == 8 else (photo.samples >> 8).astype(np.uint8)
    picture = Image.fromarray(np.ascontiguousarray(eight))
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE), Image.Resampling.LANCZOS)
    stream = io.BytesIO()
    picture.save(stream, "JPEG", quality=88)
    return stream.getvalue()


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
