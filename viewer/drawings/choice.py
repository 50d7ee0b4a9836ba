"""One way to set out a run, to scale: both ends and the middle, broken out at the same places for every way.

::

    |▒ |||||   ⌇   ||¦||   ⌇   |||||  ▒|      ¦ the middle; ▒ a ripped closing slat, hatched
"""

from fractions import Fraction
from gettext import gettext as _

from meshes.layout.alternative import Alternative
from meshes.layout.placed import SetOut
from viewer.drawings import pen as p
from viewer.drawings.hatching import hatch
from viewer.drawings.marks import across

HEIGHT = 9.0
TOP = 1.5
SIDE = 1.0
BREAK = 5.0
SLAT = "#fcfcfc"
GROUND = "#8c8c8c"

Stretch = tuple[Fraction, Fraction]


def stretches(set_out: SetOut, *, pitches: int) -> list[Stretch]:
    """What is shown of the run, from its datum end: ``pitches`` at each end, half as many in the middle."""
    start, end = across(set_out)
    run, reach = end - start, pitches * set_out.pitch
    if run <= 3 * reach:
        return [(Fraction(0), run)]
    return [(Fraction(0), reach), ((run - reach / 2) / 2, (run + reach / 2) / 2), (run - reach, run)]


def choice_strip(set_out: SetOut, choice: Alternative, *, width_mm: float = 150, pitches: int = 6) -> str:
    """SVG of the ends and the middle, the datum at the left whichever end it is measured from."""
    start, end = across(set_out)
    shown = stretches(set_out, pitches=pitches)
    breaks = BREAK * (len(shown) - 1)
    scale = (width_mm - 2 * SIDE - breaks) / float(sum(high - low for low, high in shown))
    high = HEIGHT + 2 * TOP
    pen = p.Pen(width=width_mm, height=high, title=_("Ends and middle of the run"), description=choice.reason)
    x = SIDE
    for stretch in shown:
        _draw(pen, choice, end - start, stretch, x, scale)
        x += float(stretch[1] - stretch[0]) * scale
        if stretch is not shown[-1]:
            middle = x + BREAK / 2
            pen.path(f"M{middle:.3f} 0V{high / 2 - 2:.3f}l-1.2 1 2.4 2 -1.2 1V{high:.3f}")
            x += BREAK
    return pen.svg(drawing="choice")


def _draw(pen: p.Pen, choice: Alternative, run: Fraction, stretch: Stretch, x: float, scale: float) -> None:
    low, high = stretch
    pen.rect(x, TOP, float(high - low) * scale, HEIGHT, p.NONE, GROUND)
    pitch = choice.width + choice.gap
    whole = list(choice.slats) or [
        (choice.first + number * pitch, choice.width) for number in range(choice.whole)
    ]
    closing = [(Fraction(0), choice.start_slat), (run - choice.end_slat, choice.end_slat)]
    for pieces, ripped in ((whole, False), (closing, True)):
        for at, size in pieces:
            left, right = max(at, low), min(at + size, high)
            if right <= left:
                continue
            edge, width = x + float(left - low) * scale, float(right - left) * scale
            pen.rect(edge, TOP, width, HEIGHT, p.WIDE if ripped else p.NARROW, SLAT)
            if ripped:
                hatch(pen, edge, TOP, width, HEIGHT, spacing=1.0)
    for end in (low, high):
        if end in (0, run):
            place = x + float(end - low) * scale
            pen.line(place, 0, place, HEIGHT + 2 * TOP, p.EXTRA_WIDE)
    if low < run / 2 < high:
        place = x + float(run / 2 - low) * scale
        pen.line(place, 0, place, HEIGHT + 2 * TOP, p.CHAIN)
