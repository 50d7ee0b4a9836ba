"""Where nothing is drilled unless a person clears the point by name.

BS 7671, regulation 522.6.202: cables less than 50 mm deep may run within 150 mm of the top of the wall,
within 150 mm of the angle of two adjoining walls, and straight up, down or across from any accessory::

    +==================================+   150 mm below the ceiling
    |#|        :  :                  |#|
    |#|        :  :                  |#|   150 mm beside each corner
    |#|........[  ]..................|#|   straight above, below and beside each accessory
    |#|        :  :                  |#|

Under a ceiling that slopes the 150 mm are measured square to it. Bands at corners are plumb, from where the
adjoining wall stands furthest in.

Local rules and a competent person decide; what is on the other side of a thin wall counts as well.
"""

from collections.abc import Iterable, Sequence
from fractions import Fraction
from math import isqrt

from meshes.layout.levels import Line, ceiling_line
from meshes.layout.openings import ACCESSORIES, named, opening_rect
from meshes.layout.placed import Band
from meshes.layout.rect import Rect
from meshes.layout.spans import Span, SpanIndex, merged
from meshes.layout.survey import Opening, Wall, Zone

BAND_MM = Fraction(150)
"""Width of the bands at ceiling and corners (BS 7671, 522.6.202)."""

CLEAR_OF_BAND_MM = Fraction(5)
"""A fixing's own width stays out of a band as well as its middle."""


def bands_of(wall: Wall, openings: Sequence[Opening], zones: Sequence[Zone]) -> tuple[Band, ...]:
    """All bands of a wall, by default and as surveyed, in wall coordinates."""
    width = wall.width_mm + Fraction(0)
    ceiling = ceiling_line(wall)
    lower = ceiling.lowered(drop_under(ceiling))
    found = [
        Band(
            why="ceiling",
            rect=Rect(
                left=Fraction(0), bottom=lower.lowest, width=width, height=ceiling.highest - lower.lowest
            ),
            lower=None if ceiling.level else lower,
        )
    ]
    for side, end, left in (("left", wall.left, Fraction(0)), ("right", wall.right, width - BAND_MM)):
        if end.meets != "open":
            height = ceiling.highest_between(left, left + BAND_MM)
            rect = Rect(left=left, bottom=Fraction(0), width=BAND_MM, height=height)
            found.append(Band(why=f"{side} corner", rect=rect))
    for opening in openings:
        if opening.kind not in ACCESSORIES:
            continue
        plate = opening_rect(opening)
        why = named(opening)
        height = ceiling.highest_between(plate.left, plate.right)
        upright = Rect(left=plate.left, bottom=Fraction(0), width=plate.width, height=height)
        level = Rect(left=Fraction(0), bottom=plate.bottom, width=width, height=plate.height)
        found += [Band(why=f"above and below {why}", rect=upright), Band(why=f"beside {why}", rect=level)]
    for index, zone in enumerate(zones):
        if zone.kind == "no_drill":
            found.append(Band(why=f"zone {index + 1}", rect=zone_rect(zone)))
    return tuple(found)


def drop_under(ceiling: Line) -> Fraction:
    """How far straight down from a ceiling its band reaches [mm]; up to a thousandth more where it slopes."""
    square = (BAND_MM * 1000) ** 2 * (1 + ceiling.steepest**2)
    root = isqrt(square.numerator // square.denominator)
    return Fraction(root if root * root == square else root + 1, 1000)


def zone_rect(zone: Zone) -> Rect:
    """A zone as a rectangle on the wall."""
    return Rect(left=zone.left_mm, bottom=zone.bottom_mm, width=zone.width_mm, height=zone.height_mm)


def wider_bands(bands: Iterable[tuple[Span, Span]], run: Span) -> tuple[SpanIndex[Span], list[Span]]:
    """Bands, wider by a fixing's own size, as an index along the run; those all along it by themselves."""
    near = CLEAR_OF_BAND_MM
    local, everywhere = [], []
    for (start, end), (low, high) in bands:
        span = low - near, high + near
        if start <= run[0] and run[1] <= end:
            everywhere.append(span)
        else:
            local.append(((start - near, end + near), span))
    return SpanIndex(local), merged(everywhere)


def blocked_under(lower: Line, top: Fraction, at: Fraction, *, upright: bool) -> list[Span]:
    """What a band over a sloping line leaves out, wider by a fixing's own size.

    ``at``: where an upright slat stands, or how high a level one lies; ``top``: where the band ends.
    """
    near = CLEAR_OF_BAND_MM
    if upright:
        return [(lower.lowest_between(at - near, at + near) - near, top + near)]
    return merged((start - near, end + near) for start, end in lower.under(at + near))
