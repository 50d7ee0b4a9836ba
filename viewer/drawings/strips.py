"""One way to crosscut a strip: its pieces in order, and the stops counted from one end."""

from collections.abc import Sequence
from fractions import Fraction
from gettext import gettext as _
from gettext import ngettext

from viewer.drawings import pen as p
from viewer.drawings.dimension import Stop, running_along
from viewer.drawings.figures import figure
from viewer.drawings.hatching import hatch

BAR = 6.0


def strip_drawing(
    *,
    number: int,
    times: int,
    length: Fraction,
    pieces: Sequence[tuple[Fraction, Fraction]],
    longest: Fraction,
    width_mm: float = 170,
) -> str:
    """SVG of one strip; ``pieces`` are (start, end) along it [mm], ``longest`` the strip drawn full width."""
    left, right, top = 2.0, 4.0, 6.0
    scale = (width_mm - left - right) / float(longest)
    pen = p.Pen(
        width=width_mm,
        height=top + BAR + 15.5,
        title=_("Cut {number}").format(number=number),
        description=_("{times} strips of {length} mm").format(times=times, length=figure(length)),
    )
    words = ngettext(
        "Cut {number}: {times} × strip of {length} mm, {pieces} piece each",
        "Cut {number}: {times} × strip of {length} mm, {pieces} pieces each",
        len(pieces),
    ).format(number=number, times=times, length=figure(length), pieces=len(pieces))
    pen.text(left, top - 1.8, words, bold=True)
    whole = float(length) * scale
    pen.rect(left, top, whole, BAR, p.NARROW, "#ffffff")
    hatch(pen, left, top, whole, BAR, spacing=1.6, falling=True)
    for start, end in pieces:
        x, width = left + float(start) * scale, float(end - start) * scale
        pen.rect(x, top, width, BAR, p.WIDE, "#ffffff")
        size = figure(end - start)
        if p.words_width(size) < width:
            pen.text(x + width / 2, top + BAR / 2 + p.LETTERING * 0.35, size, anchor="middle")
    stops = {length: 3}
    for start, end in pieces:
        stops.setdefault(end, 2)
        stops.setdefault(start, 1)
    running_along(
        pen,
        [Stop(at=at, rank=rank) for at, rank in stops.items()],
        x0=left,
        y=top + BAR + 3,
        from_y=top + BAR + 0.6,
        units_per_mm=scale,
    )
    return pen.svg(drawing="strip", index=number)
