"""Where nothing is drilled unless a person clears the point by name.

BS 7671, regulation 522.6.202: cables less than 50 mm deep may run within 150 mm of the top of the wall,
within 150 mm of the angle of two adjoining walls, and straight up, down or across from any accessory::

    +==================================+   150 mm below the ceiling
    |#|        :  :                  |#|
    |#|        :  :                  |#|   150 mm beside each corner
    |#|........[  ]..................|#|   straight above, below and beside each accessory
    |#|        :  :                  |#|

Local rules and a competent person decide; what is on the other side of a thin wall counts as well.
"""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.levels import ceiling_line
from meshes.layout.openings import ACCESSORIES, named, opening_rect
from meshes.layout.placed import Band, Rect
from meshes.layout.survey import Opening, Wall, Zone

BAND_MM = Fraction(150)
"""Width of the bands at ceiling and corners (BS 7671, 522.6.202)."""


def bands_of(wall: Wall, openings: Sequence[Opening], zones: Sequence[Zone]) -> tuple[Band, ...]:
    """All bands of a wall, by default and as surveyed, in wall coordinates."""
    width = wall.width_mm + Fraction(0)
    height = ceiling_line(wall).highest
    found = [
        Band(
            why="ceiling",
            rect=Rect(left=Fraction(0), bottom=height - BAND_MM, width=width, height=BAND_MM),
        )
    ]
    for side, end, left in (("left", wall.left, Fraction(0)), ("right", wall.right, width - BAND_MM)):
        if end.meets != "open":
            rect = Rect(left=left, bottom=Fraction(0), width=BAND_MM, height=height)
            found.append(Band(why=f"{side} corner", rect=rect))
    for opening in openings:
        if opening.kind not in ACCESSORIES:
            continue
        plate = opening_rect(opening)
        why = named(opening)
        upright = Rect(left=plate.left, bottom=Fraction(0), width=plate.width, height=height)
        level = Rect(left=Fraction(0), bottom=plate.bottom, width=width, height=plate.height)
        found += [Band(why=f"above and below {why}", rect=upright), Band(why=f"beside {why}", rect=level)]
    for index, zone in enumerate(zones):
        if zone.kind == "no_drill":
            found.append(Band(why=f"zone {index + 1}", rect=zone_rect(zone)))
    return tuple(found)


def zone_rect(zone: Zone) -> Rect:
    """A zone as a rectangle on the wall."""
    return Rect(left=zone.left_mm, bottom=zone.bottom_mm, width=zone.width_mm, height=zone.height_mm)
