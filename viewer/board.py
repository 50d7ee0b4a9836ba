"""The board: every candidate under every lighting, side by side, one camera and one exposure a lighting."""

from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from gettext import gettext as _

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from finishes.choice import Finish
from meshes.light.lamps import Lighting
from viewer.exposure import CARD_SHOWN
from viewer.foot import INK, PAPER, face, wrapped
from viewer.frame import Frame
from viewer.job.choices import candidates, finish_label, lightings
from viewer.job.model import Job
from viewer.picture import LARGEST_KEPT, Studio

SURROUND = (193, 193, 193)
"""The page's neutral grey, L* 78."""


MOST_PIXELS = 120_000_000
"""Of a whole board: twelve finishes under eight lightings at 1280 x 720 and more; 360 MB while it is made."""


def board_problems(job: Job, frame: Frame) -> list[tuple[str, str]]:
    """Why a board cannot be made in this size."""
    pictures = len(candidates(job)) * len(lightings(job))
    if pictures * frame.width * frame.height <= MOST_PIXELS:
        return []
    each = MOST_PIXELS // pictures / 1e6
    message = f"{frame.width} × {frame.height} for each of {pictures} pictures is too much; expected at most "
    return [("size", f"{message}{each:.1f} megapixels each")]


def _pictures(
    studio: Studio, frame: Frame, rows: Sequence[Lighting], finishes: Sequence[Finish]
) -> Iterator[tuple[Lighting, list[NDArray[np.uint8]]]]:
    """The lightings in their order, each with the pictures of all finishes (h, w, 3).

    Two lightings are made at a time; what needs no light is found out while the first two are solved.
    """

    def made(lighting: Lighting) -> list[NDArray[np.uint8]]:
        exposure = studio.exposure(lighting)
        return [studio.shown(frame, lighting, finish, exposure) for finish in finishes]

    with ThreadPoolExecutor(2, thread_name_prefix="lighting") as pool:
        pending = [pool.submit(made, lighting) for lighting in rows]
        try:
            if frame.width * frame.height <= LARGEST_KEPT:
                for finish in finishes:
                    studio.unlit(frame, finish)
            for lighting in rows:
                yield lighting, pending.pop(0).result()
        finally:
            for future in pending:
                future.cancel()


def board_image(studio: Studio, job: Job, frame: Frame) -> tuple[Image.Image, str]:
    """The board and its words. One raster, one light solve a lighting, however many finishes there are.

    Columns are the candidates, rows the lightings; each picture has the frame's size.
    """
    finishes, rows = candidates(job), lightings(job)
    type_px = max(12, frame.width // 40)
    gap = type_px
    label = round(1.6 * type_px)
    step = (frame.width + gap, frame.height + label + gap)
    width = gap + step[0] * len(finishes)
    draw = ImageDraw.Draw(Image.new("RGB", (1, 1)))
    words = _(
        "Each lighting has one exposure: a white card at the wall's middle is shown at {card:.0%} of display "
        "white. Two places on one board differ about as much as two neighbouring tones here; please choose "
        "from the stained off-cut, which is what is agreed."
    ).format(card=CARD_SHOWN)
    foot = wrapped(draw, words, type_px, width - 2 * gap)
    height = gap + step[1] * len(rows) + round(1.35 * type_px) * len(foot) + gap
    image = Image.new("RGB", (width, height), SURROUND)
    draw = ImageDraw.Draw(image)
    for row, (lighting, pictures) in enumerate(_pictures(studio, frame, rows, finishes)):
        for column, (finish, shown) in enumerate(zip(finishes, pictures, strict=True)):
            left, top = gap + column * step[0], gap + row * step[1]
            state = studio.appearance(finish).state
            caption = f"{finish_label(finish, column)} · {lighting.name} · {state}"
            draw.rectangle((left, top, left + frame.width - 1, top + label - 1), fill=PAPER)
            draw.text((left + gap // 2, top + label // 8), caption, font=face(type_px), fill=INK)
            image.paste(Image.fromarray(shown), (left, top + label))
    for number, text in enumerate(foot):
        place = (gap, height - gap - round(1.35 * type_px) * (len(foot) - number))
        draw.text(place, text, font=face(type_px), fill=INK)
    return image, words
