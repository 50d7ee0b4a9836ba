"""Hidden strips cut to what is out of true, so that slats stand plumb and level.

::

     wall   strip  first slat
      \\      |#|    |     |       out of plumb > 0: leans into the run at the top,
       \\     |#|    |     |       so the strip is wider at the foot by that much
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.face import Face, Strip
from meshes.layout.levels import ceiling_line, floor_line
from meshes.layout.survey import Wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Scribe:
    """A hidden strip cut to a wall, floor or ceiling that is out of true: its width at both ends [mm].

    ``at_start`` is the lower end of an upright strip and the left end of a level one.
    """

    side: str
    at_start: Fraction
    at_end: Fraction


def scribes_of(wall: Wall, face: Face) -> tuple[Scribe, ...]:
    """Every strip that tapers, with its width at both ends [mm]; a strip that does not taper is none."""
    found = []
    for side, end in (("left", wall.left), ("right", wall.right)):
        lean = end.out_of_plumb_mm
        if lean:
            strip = _beside(side, face.shadow_gaps) or _beside(side, face.trims)
            least = strip.rect.width if strip else Fraction(0)
            found.append(
                Scribe(side=side, at_start=least + max(lean, 0 * lean), at_end=least + max(-lean, 0 * lean))
            )
    floor, ceiling = floor_line(wall), ceiling_line(wall)
    if not floor.level:
        foot = face.rect.bottom - floor.highest
        found.append(
            Scribe(
                side="bottom",
                at_start=foot + floor.highest - floor.left,
                at_end=foot + floor.highest - floor.right,
            )
        )
    if not ceiling.level and face.sweep is None:
        strip = _beside("top", face.shadow_gaps) or _beside("top", face.trims)
        least = strip.rect.height if strip else Fraction(0)
        found.append(
            Scribe(
                side="top",
                at_start=least + ceiling.left - ceiling.lowest,
                at_end=least + ceiling.right - ceiling.lowest,
            )
        )
    return tuple(found)


def _beside(side: str, strips: tuple[Strip, ...]) -> Strip | None:
    return next((strip for strip in strips if strip.side == side), None)
