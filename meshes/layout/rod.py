"""The rod: cumulative marks from the datum, exact, as a lath is marked with them.

::

    datum |----|====|--|====|--|=+==|--|====|      every mark counts from the datum, never from its neighbour
          0    12   56 70  114             ...     bold: every fifth slat, each panel edge, the ends

What is printed is rounded once, from the exact place: to 0.1 mm, or to 1/16 or 1/32 of an inch.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction

from meshes.layout.placed import Panel, SetOut
from meshes.layout.rect import Rect

BOLD_EVERY = 5
FAR = ("right", "top")
"""Datums from which one measures against the wall's coordinates."""
MM_PER_INCH = Fraction(254, 10)


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A mark ``at`` mm from the rod's datum; ``index`` numbers slats, panels and openings as on the wall.

    ``kind``: start or end of the run, slat (its near edge), panel or opening (each edge). ``until``: the far
    edge of a slat, which nobody marks; otherwise ``at``.
    """

    at: Fraction
    until: Fraction
    kind: str
    index: int
    bold: bool
    parts: int = 16
    """Of an inch, to which it is marked: 16 or 32."""

    @property
    def inches(self) -> str:
        """``7 3/16``; with a minus where a bridging slat stands over a panel's edge."""
        words = str(inches(abs(self.at), self.parts))
        return f"−{words}" if self.at < 0 and words != "0" else words


@dataclass(frozen=True, slots=True, kw_only=True)
class Rod:
    """The marks of a wall from its end at the datum, or of a panel from its board's nearer edge."""

    datum: str
    length: Fraction
    marks: tuple[Mark, ...]

    def coordinate(self, at: Fraction) -> Fraction:
        """The place on the wall, from its left end or the floor, of a distance on the wall's rod."""
        return self.length - at if self.datum in FAR else at


@dataclass(frozen=True, slots=True)
class Inches:
    """Whole inches and a reduced fraction of one."""

    whole: int
    numerator: int
    denominator: int

    def __str__(self) -> str:
        """``7 3/16``, ``7``, ``3/16``."""
        fraction = f"{self.numerator}/{self.denominator}" if self.numerator else ""
        if not self.whole:
            return fraction or "0"
        return f"{self.whole} {fraction}".rstrip()


def inches(length_mm: Fraction, parts: int = 16) -> Inches:
    """A length in inches, rounded once to 1/``parts``; parts is 16 or 32."""
    if parts not in (16, 32):
        raise ValueError(f"{parts}: a rod is marked to 1/16 or 1/32 of an inch")
    rounded = Fraction(round(length_mm / MM_PER_INCH * parts), parts)
    whole = rounded.numerator // rounded.denominator
    rest = rounded - whole
    return Inches(whole, rest.numerator, rest.denominator if rest else 1)


def wall_rod(set_out: SetOut) -> Rod:
    """The rod of a wall, from the wall's end at the datum; every mark is the exact cumulative distance."""
    place = _place(set_out, Fraction(0), _length(set_out))
    start, end = sorted(place(edge) for edge in _across(set_out, set_out.face))
    marks = [
        _edge(start, "start", 0, bold=True),
        _edge(end, "end", 0, bold=True),
    ]
    for number, slat in enumerate(_from_datum(set_out)):
        near, far = sorted(place(edge) for edge in _across(set_out, set_out.slats[slat].extent))
        bold = number % BOLD_EVERY == 0
        marks.append(Mark(at=near, until=far, kind="slat", index=slat, bold=bold))
    for panel in set_out.panels:
        for edge in _across(set_out, panel.outline):
            marks.append(_edge(place(edge), "panel", panel.index, bold=True))
    for opening in set_out.openings:
        for edge in _across(set_out, opening.rect):
            marks.append(_edge(place(edge), "opening", opening.index, bold=False))
    marks.sort(key=lambda mark: (mark.at, mark.kind, mark.index))
    return _rod(set_out, _length(set_out), marks)


def panel_rod(set_out: SetOut, panel: Panel) -> Rod:
    """The rod of a panel, from the edge of its board nearer to the datum.

    A bridging slat overhangs that edge: its near edge lies before it and has a negative distance.
    """
    low, high = _across(set_out, panel.board)
    place = _place(set_out, low, high)
    first = _from_datum(set_out)
    numbers = {slat: number for number, slat in enumerate(first)}
    marks = [
        _edge(Fraction(0), "panel", panel.index, bold=True),
        _edge(high - low, "panel", panel.index, bold=True),
    ]
    for slat in panel.slats:
        near, far = sorted(place(edge) for edge in _across(set_out, set_out.slats[slat].extent))
        bold = numbers[slat] % BOLD_EVERY == 0
        marks.append(Mark(at=near, until=far, kind="slat", index=slat, bold=bold))
    marks.sort(key=lambda mark: (mark.at, mark.kind, mark.index))
    return _rod(set_out, high - low, marks)


def _rod(set_out: SetOut, length: Fraction, marks: list[Mark]) -> Rod:
    if set_out.rod_parts != 16:
        marks = [replace(mark, parts=set_out.rod_parts) for mark in marks]
    return Rod(datum=set_out.datum, length=length, marks=tuple(marks))


def _edge(at: Fraction, kind: str, index: int, *, bold: bool) -> Mark:
    return Mark(at=at, until=at, kind=kind, index=index, bold=bold)


def _length(set_out: SetOut) -> Fraction:
    return set_out.wall_width if set_out.run == "upright" else set_out.wall_height


def _across(set_out: SetOut, rect: Rect) -> tuple[Fraction, Fraction]:
    return (rect.left, rect.right) if set_out.run == "upright" else (rect.bottom, rect.top)


def _place(set_out: SetOut, low: Fraction, high: Fraction) -> Callable[[Fraction], Fraction]:
    """Distances from the datum end of what lies between two wall coordinates."""
    if set_out.datum in FAR:
        return lambda coordinate: high - coordinate
    return lambda coordinate: coordinate - low


def _from_datum(set_out: SetOut) -> list[int]:
    order = [slat.index for slat in set_out.slats]
    return order[::-1] if set_out.datum in FAR else order
