"""Marks over a picture: what a client will see later and should know of now."""

import math
from dataclasses import replace
from gettext import gettext as _

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from meshes.stills.marks import Mark, marks
from viewer.foot import INK, PAPER, face
from viewer.frame import Frame
from viewer.picture import LARGEST_KEPT, Studio

NAMES = {
    "joint": _("joint between boards"),
    "shadow gap": _("shadow gap"),
    "plate": _("plate"),
    "skirting overhang": _("edge over the skirting"),
    "ceiling line": _("line of the slats' heads"),
}


def _words(mark: Mark) -> str:
    name = NAMES[mark.kind]
    if mark.kind == "shadow gap" and len(set(mark.mm)) > 1:
        return _("{name}, {foot:g} mm at the foot, {head:g} mm at the head").format(
            name=name, foot=mark.mm[0], head=mark.mm[1]
        )
    if mark.mm:
        return _("{name}, {mm:g} mm").format(name=name, mm=mark.mm[0])
    return name


Box = tuple[float, float, float, float]


def put_marks(image: Image.Image, studio: Studio, frame: Frame) -> list[str]:
    """Draw the marks and their names; returns the names, once each, for the picture's text."""
    draw = ImageDraw.Draw(image)
    size = max(11, min(image.width // 100, 22))
    said: dict[str, NDArray[np.float64]] = {}
    # what is seen of a line is found on a picture that memory holds, and drawn on this one
    smaller = math.ceil(math.sqrt(frame.width * frame.height / LARGEST_KEPT))
    sought = replace(frame, width=frame.width // smaller, height=frame.height // smaller)
    scale = np.array([frame.width / sought.width, frame.height / sought.height])
    for mark in marks(studio.scene, studio.camera(frame), studio.samples(sought)):
        pieces = [piece * scale for piece in mark.pieces]
        for piece in pieces:
            points = [(float(x), float(y)) for x, y in piece]
            # paper under ink: a line that shows on pale and dark wood alike
            draw.line(points, fill=PAPER, width=3)
            draw.line(points, fill=INK, width=1)
        said.setdefault(_words(mark), np.concatenate(pieces))
    taken: list[Box] = []
    for words, line in said.items():
        _label(draw, words, line, size, image.size, taken)
    return list(said)


def _label(
    draw: ImageDraw.ImageDraw,
    words: str,
    line: NDArray[np.float64],
    size: int,
    limits: tuple[int, int],
    taken: list[Box],
) -> None:
    """Write a name beside its line, where no other name stands; where there is no such place, not at all."""
    _, top, right, bottom = draw.textbbox((0, 0), words, font=face(size))
    for at in line[:: max(1, len(line) // 40)]:
        for dx, dy in ((0.5, -1.8), (0.5, 0.6), (-0.5 - right / size, -0.6)):
            x, y = float(at[0]) + dx * size, float(at[1]) + dy * size
            box = (x - 3, y + top - 2, x + right + 3, y + bottom + 2)
            inside = box[0] >= 0 and box[1] >= 0 and box[2] <= limits[0] and box[3] <= 0.9 * limits[1]
            if inside and not any(_overlap(box, other) for other in taken):
                taken.append(box)
                draw.rectangle(box, fill=PAPER)
                draw.text((x, y), words, font=face(size), fill=INK)
                return


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
