"""The face that the slats fill, and what frames it: shadow gaps, trims, posts, skirting, plinth, ceiling.

::

    | wall | trim | shadow gap |<----------- face: the run ---------->| shadow gap | trim | wall ends |
"""

from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.levels import Line, ceiling_line, floor_line
from meshes.layout.rect import Rect
from meshes.layout.survey import End, Wall

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Widened:
    """What a spacing that leaves a remainder adds to the shadow gaps or trims at each side [mm]."""

    left: Fraction = ZERO
    right: Fraction = ZERO
    top: Fraction = ZERO
    as_trim: bool = False

    def shadow(self, side: str) -> Fraction:
        return ZERO if self.as_trim else self._of(side)

    def trim(self, side: str) -> Fraction:
        return self._of(side) if self.as_trim else ZERO

    def _of(self, side: str) -> Fraction:
        return {"left": self.left, "right": self.right, "top": self.top}.get(side, ZERO)


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """What frames the run at its ``side`` (left, right, top, bottom).

    ``kind``: trim, return (an end board back to the wall), post (at an outside corner, beyond the wall's
    end), plinth, or shadow_gap. ``rise``: how much higher than ``rect`` the left and the right corner of its
    top stand, where it is cut to a ceiling that slopes, as a ``Slat``'s.
    """

    side: str
    rect: Rect
    kind: str = "trim"
    rise: tuple[Fraction, Fraction] = (Fraction(0), Fraction(0))

    @property
    def width(self) -> Fraction:
        """Its thin side as it is seen from the room [mm]."""
        return self.rect.width if self.side in ("left", "right") else self.rect.height

    @property
    def edges(self) -> tuple[Fraction, Fraction]:
        """Lengths along its left and right edge, or its lower and upper one where it lies [mm]."""
        if self.side in ("left", "right"):
            return self.rect.height + self.rise[0], self.rect.height + self.rise[1]
        return self.rect.width, self.rect.width


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """The rectangle for slats and gaps, with the strips at its sides and the kept skirting; mm.

    ``sweep`` is the line that each upright slat is cut to, for a swept ceiling; None where the top is level.
    """

    rect: Rect
    shadow_gaps: tuple[Strip, ...]
    trims: tuple[Strip, ...]
    skirting: Rect | None
    sweep: Line | None


def end_trim(end: End) -> Fraction:
    """A trim or return takes room from the run at an open end only."""
    return end.trim_mm if end.meets == "open" else ZERO


def face_bottom(wall: Wall) -> Fraction:
    """Where slats start: level, at the floor's highest point, over skirting and closing trim or plinth."""
    return floor_line(wall).highest + _foot(wall)


def _foot(wall: Wall) -> Fraction:
    if wall.skirting == "kept" and wall.skirting_mm:
        return wall.skirting_mm + wall.closing_trim_mm
    return wall.plinth_mm


def under_ceiling(wall: Wall) -> Fraction:
    """The level line under the lowest point of ceiling and cornice."""
    return ceiling_line(wall).lowest - wall.cornice_mm


def ceiling_strip(wall: Wall) -> Fraction:
    """Height of the shadow gap or trim at the ceiling."""
    return wall.ceiling_mm if wall.ceiling in ("shadow", "trim") else ZERO


def face_of(
    wall: Wall, *, build_up: Fraction, starts_at: Fraction = ZERO, widened: Widened | None = None
) -> Face:
    """Frame a checked wall. ``starts_at``: where the wall before ends round an inside corner on the left."""
    widened = widened or Widened()
    bottom = face_bottom(wall)
    ceiling = under_ceiling(wall)
    top_shadow = (ceiling_strip(wall) if wall.ceiling == "shadow" else ZERO) + widened.shadow("top")
    top_trim = (ceiling_strip(wall) if wall.ceiling == "trim" else ZERO) + widened.trim("top")
    top = ceiling - top_shadow - top_trim
    height = top - bottom
    sweep = ceiling_line(wall).lowered(wall.cornice_mm) if wall.ceiling == "swept" else None
    trims: list[Strip] = []
    shadows: list[Strip] = []

    def upright(side: str, kind: str, left: Fraction, width: Fraction) -> None:
        if width:
            heads = (top, top) if sweep is None else sweep.straight_under(left, left + width)
            end = min(heads)
            rect = Rect(left=left, bottom=bottom, width=width, height=end - bottom)
            strip = Strip(side=side, kind=kind, rect=rect, rise=(heads[0] - end, heads[1] - end))
            (shadows if kind == "shadow_gap" else trims).append(strip)

    left_trim = end_trim(wall.left) + widened.trim("left")
    left_shadow = wall.left.shadow_gap_mm + widened.shadow("left")
    right_trim = end_trim(wall.right) + widened.trim("right")
    right_shadow = wall.right.shadow_gap_mm + widened.shadow("right")
    left = starts_at + left_trim + left_shadow
    right = wall.width_mm - right_trim - right_shadow
    upright("left", _closing(wall.left), starts_at, left_trim)
    upright("left", "shadow_gap", starts_at + left_trim, left_shadow)
    upright("right", _closing(wall.right), right + right_shadow, right_trim)
    upright("right", "shadow_gap", right, right_shadow)
    if wall.right.meets == "outside_corner":
        upright("right", "post", wall.width_mm + ZERO, wall.right.post_mm or build_up)

    def level(side: str, kind: str, low: Fraction, size: Fraction) -> None:
        if size:
            strip = Strip(
                side=side,
                kind=kind,
                rect=Rect(left=starts_at, bottom=low, width=wall.width_mm - starts_at, height=size),
            )
            (shadows if kind == "shadow_gap" else trims).append(strip)

    level("top", "shadow_gap", top, top_shadow)
    level("top", "trim", top, top_trim)
    foot = _foot(wall)
    kept = wall.skirting == "kept" and wall.skirting_mm > 0
    if kept:
        level("bottom", "trim", bottom - wall.closing_trim_mm, wall.closing_trim_mm)
    else:
        level("bottom", "plinth", bottom - foot, foot)
    skirting = (
        Rect(left=ZERO, bottom=ZERO, width=wall.width_mm + ZERO, height=bottom - wall.closing_trim_mm)
        if kept
        else None
    )
    return Face(
        rect=Rect(left=left, bottom=bottom, width=right - left, height=height),
        shadow_gaps=tuple(shadows),
        trims=tuple(trims),
        skirting=skirting,
        sweep=sweep,
    )


def _closing(end: End) -> str:
    return "return" if end.closes_with == "return" else "trim"
