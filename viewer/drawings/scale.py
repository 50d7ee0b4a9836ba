"""Scales of a drawing (ISO 5455) and the bar that stays true when the sheet is enlarged or shrunk."""

from collections.abc import Sequence

from viewer.drawings import pen as p

LENGTHS = (20000, 10000, 5000, 2000, 1000, 500, 200, 100, 50, 20, 10)
WORDS_WIDTH = 14.0
"""Room for the bar's words beside it [mm of paper]."""
SERIES = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
"""Reduction scales recommended by ISO 5455."""


RULE_SERIES = (1, 2, 5, 10, 12.5, 20, 25, 50, 75, 100, 125, 200, 500, 1000)
"""The same with what stands on a common scale rule beside them (common practice), for sheets at the bench."""


def choose_scale(
    width: float,
    height: float,
    room_width: float,
    room_height: float | None,
    *,
    to_scale: bool,
    series: Sequence[float] = SERIES,
) -> float:
    """Paper mm per mm, so that width × height [mm] fits; ``to_scale`` keeps to the series."""
    fit = room_width / width
    if room_height is not None:
        fit = min(fit, room_height / height)
    if not to_scale:
        return fit
    return next((1 / ratio for ratio in series if 1 / ratio <= fit), fit)


def scale_bar(pen: p.Pen, *, x: float, y: float, units_per_mm: float, to_scale: bool) -> float:
    """Two halves of a round length, the first filled, with its length, and the ratio on a sheet to scale.

    Returns where its words end [mm of paper].
    """
    room = min(40.0, pen.width - x - WORDS_WIDTH)
    whole = next(length for length in LENGTHS if length * units_per_mm <= room or length == LENGTHS[-1])
    half = whole * units_per_mm / 2
    pen.rect(x, y, half, 1.4, p.NARROW, p.INK)
    pen.rect(x + half, y, half, 1.4, p.NARROW)
    words = f"{whole} mm" if whole < 1000 else f"{whole // 1000} m"
    if to_scale:
        words += f"   1 : {1 / units_per_mm:g}"
    pen.text(x + 2 * half + 1.6, y + 1.8, words)
    return x + 2 * half + 1.6 + p.words_width(words)
