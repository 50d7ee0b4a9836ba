"""Dimensions after ISO 129-1: narrow lines, oblique ticks, values above the line, running from one datum."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from viewer.drawings.figures import figure
from viewer.drawings.pen import LETTERING, NARROW, WIDE, Pen, words_width

TICK = 2.2
"""Length of the oblique stroke [mm]."""
ORIGIN_RADIUS = 1.0
GAP = 8 * NARROW.width
"""ISO 129-1: extension lines start off the feature and pass the dimension line by eight line widths."""
LINE_SPACING = LETTERING * 1.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """One value of a running dimension; of two that would touch, the higher ``rank`` is kept."""

    at: Fraction
    rank: int = 0
    bold: bool = False


def kept_stops(stops: Sequence[Stop], units_per_mm: float, spacing: float = LINE_SPACING) -> list[Stop]:
    """The stops that fit side by side at ``spacing`` [mm of paper], by rank, then from the datum on."""
    kept: list[Stop] = []
    for stop in sorted(stops, key=lambda one: (-one.rank, one.at)):
        if all(abs(float(stop.at - other.at)) * units_per_mm >= spacing for other in kept):
            kept.append(stop)
    return sorted(kept, key=lambda one: one.at)


def tick(pen: Pen, x: float, y: float) -> None:
    """The oblique stroke at 45°, wide, rising to the right."""
    half = TICK / 2 * 0.7071
    pen.line(x - half, y + half, x + half, y - half, WIDE)


def running_along(
    pen: Pen, stops: Sequence[Stop], *, x0: float, y: float, from_y: float, units_per_mm: float
) -> None:
    """Running dimension along x at height ``y``; values turned, below it, in line with extension lines.

    ``units_per_mm`` below 0: it runs to the left, from a datum at the right.
    """
    kept = kept_stops(stops, abs(units_per_mm))
    if not kept:
        return
    places = [(stop, x0 + float(stop.at) * units_per_mm) for stop in kept]
    reached = [x0, *(x for _stop, x in places)]
    pen.line(min(reached), y, max(reached), y)
    pen.circle(x0, y, ORIGIN_RADIUS)
    for stop, x in places:
        pen.line(x, from_y, x, y + GAP)
        if stop.at != 0:
            tick(pen, x, y)
        pen.text(
            x + LETTERING * 0.34, y + GAP + 0.6, figure(stop.at), anchor="end", turned=True, bold=stop.bold
        )


def running_up(
    pen: Pen, stops: Sequence[Stop], *, y0: float, x: float, from_x: float, units_per_mm: float
) -> None:
    """Running dimension upwards at ``x`` left of the drawing; values level, left of their extension lines."""
    kept = kept_stops(stops, units_per_mm)
    if not kept:
        return
    places = [(stop, y0 - float(stop.at) * units_per_mm) for stop in kept]
    pen.line(x, y0, x, places[-1][1])
    pen.circle(x, y0, ORIGIN_RADIUS)
    for stop, y in places:
        pen.line(from_x, y, x - GAP, y)
        if stop.at != 0:
            tick(pen, x, y)
        pen.text(x - GAP - 0.6, y + LETTERING * 0.34, figure(stop.at), anchor="end", bold=stop.bold)


def single(pen: Pen, *, x1: float, x2: float, y: float, from_y: float, words: str) -> None:
    """One dimension along x with its value above the line, or beside it where it does not fit between."""
    for x in (x1, x2):
        pen.line(x, from_y, x, y + (GAP if y > from_y else -GAP))
        tick(pen, x, y)
    pen.line(x1, y, x2, y)
    fits = words_width(words) < x2 - x1
    if fits:
        pen.text((x1 + x2) / 2, y - 0.9, words, anchor="middle")
    else:
        pen.line(x2, y, x2 + 1.5 + words_width(words), y)
        pen.text(x2 + 1.8, y - 0.9, words)
