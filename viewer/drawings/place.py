"""From millimetres on the wall to millimetres of paper."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from meshes.layout.placed import Slat
from meshes.layout.rect import Rect
from viewer.drawings.outlines import Outline, piece_outline

Box = tuple[float, float, float, float]
"""x, y, width, height on the sheet [mm of paper]."""
LEVEL = (Fraction(0), Fraction(0))


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """``origin`` on the wall [mm] stands at (``left``, ``floor``) on the sheet [mm of paper]."""

    left: float
    floor: float
    units_per_mm: float
    origin: tuple[Fraction, Fraction] = LEVEL

    def x(self, wall_mm: Fraction) -> float:
        return self.left + float(wall_mm - self.origin[0]) * self.units_per_mm

    def y(self, wall_mm: Fraction) -> float:
        return self.floor - float(wall_mm - self.origin[1]) * self.units_per_mm

    def box(self, rect: Rect) -> Box:
        """Left, top, width and height on the paper of a rectangle on the wall."""
        return (
            self.x(rect.left),
            self.y(rect.top),
            float(rect.width) * self.units_per_mm,
            float(rect.height) * self.units_per_mm,
        )

    def corners(self, outline: Outline) -> list[tuple[float, float]]:
        return [(self.x(x), self.y(y)) for x, y in outline]

    def path(self, outline: Outline, *, digits: int = 3) -> str:
        """A closed outline as path data."""
        points = " ".join(f"{x:.{digits}f} {y:.{digits}f}" for x, y in self.corners(outline))
        return f"M{points}z"

    def slats(self, slats: Iterable[Slat], *, digits: int = 3) -> str:
        """All pieces as one path, those cut square by their widths and heights, sloping tops by corners."""
        parts = []
        for slat in slats:
            for piece in slat.pieces:
                if slat.rise_of(piece) != LEVEL:
                    parts.append(self.path(piece_outline(slat, piece), digits=digits))
                    continue
                x, y, w, h = self.box(piece)
                d = digits
                parts.append(f"M{x:.{d}f} {y:.{d}f}h{w:.{d}f}v{h:.{d}f}h{-w:.{d}f}z")
        return "".join(parts)
