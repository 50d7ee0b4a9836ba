"""A chart of tones by timbers by coats, drawn with figure: looked at whenever a constant of the model
changes.

One cell is a short board, a strip for each number of coats, all cut from the same place so that only the
stain differs. The figure here is a small drawing of its own; pictures of the wall use the room's own boards.
"""

import io
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from finishes.adaptation import D65_XYZ, RGB_FROM_XYZ, adaptation_matrix, encode_srgb
from finishes.appearance import Appearance, appearance
from finishes.catalogue import Catalogue
from finishes.choice import Finish
from finishes.cielab import lab, xyz_from_lab
from finishes.lamps import LampSpectrum
from finishes.spectra import Floats

PAPER, INK = (198, 198, 198), (38, 38, 38)
"""Neutral surround and ink: a colour is judged among greys (practice of ISO 3664)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Sizes in pixels."""

    board_wide: int = 132
    strip_high: int = 26
    gap: int = 8
    label_wide: int = 150
    head_high: int = 46
    scale: int = 2
    """Supersampling of the figure."""


def chart_png(
    catalogue: Catalogue,
    *,
    timbers: Sequence[str] = (),
    tones: Sequence[str] = (),
    coats: Sequence[int] = (1, 2),
    topcoat: str = "oil",
    light: str = "",
    layout: Layout | None = None,
) -> bytes:
    """The chart as a PNG.

    timbers, tones : catalogue names, all of them when left out; coats : each 1 to 6; light : a lamp's name,
        the
    first when left out. Raises KeyError for unknown names, ValueError for no coats.
    """
    if not coats or any(not 1 <= n <= 6 for n in coats):
        raise ValueError(f"coats are {list(coats)}; give one or more numbers from 1 to 6")
    size = layout or Layout()
    woods = list(timbers) or list(catalogue.timber)
    stains = list(tones) or list(catalogue.stain)
    lamp = catalogue.light(light)
    cell_high = size.strip_high * len(coats) + size.gap
    words = (
        f"Indicative: from timber type and tone, not measured. Coats of stain: "
        f"{', '.join(map(str, coats))}. Topcoat: {topcoat}. Light: {catalogue.named('lamp', light).name}. "
        "What is agreed is the stained off-cut."
    )
    width = size.label_wide + len(woods) * (size.board_wide + size.gap) + size.gap
    small = ImageFont.load_default(12)
    lines = _wrapped(words, small, width - 2 * size.gap)
    foot_high = 14 + 16 * len(lines)
    height = size.head_high + len(stains) * cell_high + foot_high
    image = Image.new("RGB", (width, height), PAPER)
    draw = ImageDraw.Draw(image)
    bold = ImageFont.load_default(15)
    for column, wood in enumerate(woods):
        left = size.label_wide + column * (size.board_wide + size.gap)
        draw.text((left, size.head_high - 24), wood, fill=INK, font=bold)
        figure = catalogue.timber[wood].figure
        share = catalogue.figure[figure].late_share
        field = figure_mask(
            size.board_wide * size.scale, size.strip_high * size.scale, share, figure, seed=column + 1
        )
        for row, tone in enumerate(stains):
            top = size.head_high + row * cell_high
            if column == 0:
                middle = top + size.strip_high * len(coats) / 2
                draw.text((size.gap, middle), tone, fill=INK, font=bold, anchor="lm")
            for strip, number in enumerate(coats):
                if column == 0 and len(coats) > 1:
                    place = (size.label_wide - 6, top + (strip + 0.5) * size.strip_high)
                    draw.text(place, str(number), fill=INK, font=small, anchor="rm")
                finish = Finish(timber=wood, stain=tone, coats=number, topcoat=topcoat)
                look = appearance(finish, catalogue)
                drawn = board(look, lamp, field, seed=column + 1)
                picture = Image.fromarray(drawn).resize(
                    (size.board_wide, size.strip_high), Image.Resampling.BOX
                )
                image.paste(picture, (left, top + strip * size.strip_high))
    draw.multiline_text((size.gap, height - foot_high + 6), "\n".join(lines), fill=INK, font=small)
    file = io.BytesIO()
    image.save(file, "PNG")
    return file.getvalue()


def _wrapped(text: str, font: ImageFont.FreeTypeFont | ImageFont.ImageFont, width: float) -> list[str]:
    """The text in lines that fit the width."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if font.getlength(longer) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def board(look: Appearance, lamp: LampSpectrum, mask: Floats, *, seed: int) -> NDArray[np.uint8]:
    """(h, w, 3) 8-bit sRGB of a board: zones mixed by the mask (h, w), with the spread of one board."""
    early, late = look.zones["slat_front"]
    added = look.seen() - look.reflectance["slat_front"]
    matrix = adaptation_matrix(lamp.white_xyz, D65_XYZ)
    pair = (np.stack([early, late]) + added) @ lamp.weights @ matrix.T
    xyz = pair[0] + mask[..., None] * (pair[1] - pair[0])
    labs = lab(xyz, D65_XYZ)
    drift = _smooth_noise(mask.shape, (10, 60), seed) + 0.5 * _smooth_noise(mask.shape, (2, 24), seed + 1)
    labs[..., 0] = np.clip(labs[..., 0] + look.spread_de / 2.0 * drift, 0.0, 100.0)
    rgb = encode_srgb(xyz_from_lab(labs, D65_XYZ) @ RGB_FROM_XYZ.T)
    return np.asarray(np.round(rgb * 255.0), dtype=np.uint8)


def figure_mask(width: int, height: int, late_share: float, figure: str, *, seed: int) -> Floats:
    """(height, width) late wood, 0..1, whose mean is ``late_share`` within 0.001.

    Rings round a pith that lies behind the board, cut by the board's plane; early wood passes slowly into
    late wood and late wood ends sharply, as rings do. Ring-porous early wood breaks into short vessels.
    """
    if late_share <= 0.0 or late_share >= 1.0:
        return np.full((height, width), late_share)
    random = np.random.default_rng(seed)
    y, x = np.mgrid[0:height, 0:width].astype(np.float64)
    shape = (height, width)
    ring = height / random.uniform(5.0, 7.0)
    centre = height * random.uniform(0.35, 0.65)
    # the board's plane runs slowly out from the pith, so rings close to long arches along the middle
    depth = height * random.uniform(0.5, 0.8) + 1.6 * ring * x / width
    depth = depth + 0.45 * ring * _smooth_noise(shape, (height, 1.2 * width), seed)
    radius = np.hypot(y - centre, depth) + 0.08 * ring * _smooth_noise(shape, (3.0, 0.5 * width), seed + 7)
    phase = radius / ring % 1.0
    field = phase - np.maximum(0.0, phase - 0.94) / 0.06
    fade = 0.3
    if figure == "ring-porous":
        field = field + 0.25 * _smooth_noise(shape, (0.5, 14.0), seed + 11)
        fade = 0.25
    if figure == "diffuse-porous":
        field = 0.5 * field + 0.25 * _smooth_noise(shape, (0.8, 12.0), seed + 13)
        fade = 0.6
    low, high = float(field.min()) - 1.0, float(field.max()) + 1.0
    mask = np.zeros(shape)
    for _ in range(50):
        middle = (low + high) / 2.0
        mask = np.clip(0.5 + (field - middle) / fade, 0.0, 1.0)
        low, high = (middle, high) if mask.mean() > late_share else (low, middle)
    return np.asarray(mask, dtype=np.float64)


def _smooth_noise(shape: tuple[int, int], reach: tuple[float, float], seed: int) -> Floats:
    """(h, w) noise, mean 0 and standard deviation 1, smoothed over ``reach`` pixels down and across."""
    noise = np.fft.rfft2(np.random.default_rng(seed).standard_normal(shape))
    down = np.fft.fftfreq(shape[0])[:, None] * reach[0]
    across = np.fft.rfftfreq(shape[1])[None, :] * reach[1]
    smooth = np.fft.irfft2(noise * np.exp(-2.0 * np.pi**2 * (down**2 + across**2) / 4.0), s=shape)
    result: Floats = (smooth - smooth.mean()) / max(float(smooth.std()), 1e-12)
    return result
