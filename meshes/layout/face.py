"""The face that the slats fill, and what frames it: shadow gaps, trims, skirting."""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.placed import Rect, Strip
from meshes.layout.survey import End, Wall


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """The rectangle for slats and gaps, with the strips at its sides and the kept skirting; mm."""

    rect: Rect
    shadow_gaps: tuple[Strip, ...]
    trims: tuple[Strip, ...]
    skirting: Rect | None


def end_trim(end: End) -> Fraction:
    """A trim takes room from the run at an open end only."""
    return end.trim_mm if end.meets == "open" else Fraction(0)


def face_width(wall: Wall) -> Fraction:
    """Width less shadow gaps, less the trims of open ends [mm]; zero or less when they eat the wall."""
    taken = sum((end.shadow_gap_mm + end_trim(end) for end in (wall.left, wall.right)), Fraction(0))
    return wall.width_mm - taken


def face_of(wall: Wall) -> Face:
    """Frame a checked wall; a trim stands outermost, the shadow gap between it and the run."""
    zero = Fraction(0)
    bottom, height = wall.skirting_mm, wall.height_mm - wall.skirting_mm

    def strip(side: str, left: Fraction, width: Fraction) -> Strip:
        return Strip(side=side, rect=Rect(left=left, bottom=bottom, width=width, height=height))

    trims, shadows = [], []
    left = zero
    if trim := end_trim(wall.left):
        trims.append(strip("left", left, trim))
        left += trim
    if wall.left.shadow_gap_mm:
        shadows.append(strip("left", left, wall.left.shadow_gap_mm))
        left += wall.left.shadow_gap_mm
    right = wall.width_mm
    if trim := end_trim(wall.right):
        right -= trim
        trims.append(strip("right", right, trim))
    if wall.right.shadow_gap_mm:
        right -= wall.right.shadow_gap_mm
        shadows.append(strip("right", right, wall.right.shadow_gap_mm))
    kept = Rect(left=zero, bottom=zero, width=wall.width_mm, height=bottom) if bottom else None
    return Face(
        rect=Rect(left=left, bottom=bottom, width=right - left, height=height),
        shadow_gaps=tuple(shadows),
        trims=tuple(trims),
        skirting=kept,
    )
