"""The foot of a picture: one line that says what one is looking at and what it is worth."""

from dataclasses import dataclass
from functools import lru_cache
from gettext import gettext as _
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from viewer.exposure import CARD_SHOWN, Exposure

# greys of the page (a* = b* = 0): paper L* 96 and ink L* 15, as sRGB codes
PAPER, INK = (243, 243, 243), (38, 38, 38)

SMALLEST_WIDTH_PX = 320
"""Below this a line of words is no longer legible; the words still stand in the file's own text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FootLine:
    """What the foot says. ``finish``, ``lighting`` : the job's own names; ``state`` : how far to trust it."""

    finish: str
    lighting: str
    state: str
    exposure: Exposure
    note: str = ""

    def words(self) -> str:
        """The line, and the sentence of the view where it leaves something out."""
        sentence = _(
            "{finish} · {lighting} · white card at the wall's middle shown at {card:.0%} of display white "
            "({white:.3g} cd/m2) · {state} colour: the stained off-cut is what is agreed."
        ).format(
            finish=self.finish,
            lighting=self.lighting,
            card=CARD_SHOWN,
            white=self.exposure.white_cd_m2,
            state=self.state,
        )
        return f"{sentence} {self.note}".strip()


TYPEFACE = (
    Path(__file__).parents[1]
    / "static/node_modules/@fontsource/ibm-plex-sans/files/ibm-plex-sans-latin-400-normal.woff2"
)
"""The typeface of the pages. Where set-up has not fetched it, Pillow's own stands in."""


@lru_cache(maxsize=16)
def face(size_px: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    """The typeface of captions; a picture needs no font of the machine."""
    try:
        return ImageFont.truetype(TYPEFACE, size_px)
    except OSError:
        return ImageFont.load_default(size_px)


def wrapped(draw: ImageDraw.ImageDraw, words: str, size_px: int, width_px: int) -> list[str]:
    """The words broken into lines of at most ``width_px``."""
    lines = [""]
    for word in words.split(" "):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and draw.textlength(longer, font=face(size_px)) > width_px:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def put_foot(image: Image.Image, line: FootLine) -> None:
    """Write the foot over the lowest part of the picture, whose size and camera stay what they are."""
    if image.width < SMALLEST_WIDTH_PX or image.height < SMALLEST_WIDTH_PX // 2:
        return
    size = max(11, min(image.width // 90, 28))
    draw = ImageDraw.Draw(image)
    lines = wrapped(draw, line.words(), size, image.width - 2 * size)
    step = round(1.35 * size)
    height = step * len(lines) + size // 2
    if height > image.height // 4:
        return
    top = image.height - height
    draw.rectangle((0, top, image.width, image.height), fill=PAPER)
    for number, text in enumerate(lines):
        draw.text((size, top + size // 4 + number * step), text, font=face(size), fill=INK)
