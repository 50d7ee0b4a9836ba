"""Loose slats and the fixing points under them.

A panel is pressed to the wall without some of its slats, fixed through board and packing where they will
stand, and the loose slats go on last::

    panel   |  =   L   =   =   L   =  |      L: loose slats, o: fixing points at most 900 mm apart
            |      o           o      |      never at a joint, an end, beside an accessory
            |      o           o      |      or where light grazes the face
"""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil

from meshes.layout.bands import CLEAR_OF_BAND_MM
from meshes.layout.openings import left_of
from meshes.layout.spacing import Panels
from meshes.layout.spans import Span, SpanIndex
from meshes.layout.words import mm

LEAST_LOOSE = 2
"""Loose slats a panel (common practice)."""

FROM_END_MM = Fraction(50)
"""Fixing points keep this far from the end of a slat's piece and of a board (common practice)."""

STUD_HALF_MM = Fraction(12)
"""How far from the middle of a stud a screw still holds in it (38 mm studs, common practice)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What decides where a panel can be fixed; (start, end) along the run, (low, high) along the slat.

    ``pieces`` are each slat's lengths; ``bands`` what the middle of a fixing stays out of along the slat, by
    where along the run, those that go all the way in ``everywhere``, what those whose edge slopes take of a
    line at a place along the run in ``sloping``; ``kept_fast`` where no slat is loose: next to accessories
    and where light grazes the face; ``joints`` the slats over joints; ``studs`` along the run, or along the
    slats for level ones.
    """

    starts: Sequence[Fraction]
    middles: Sequence[Fraction]
    widths: Sequence[Fraction]
    pieces: Sequence[Sequence[Span]]
    bands: SpanIndex[Span]
    everywhere: Sequence[Span]
    sloping: Callable[[Fraction], list[Span]]
    kept_fast: SpanIndex[None]
    joints: frozenset[int]
    studs: tuple[Fraction, ...]
    upright: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Fixed:
    """A panel's loose slats, fixing points as (along the run, along the slat, slat), and what is amiss."""

    loose: tuple[int, ...]
    points: tuple[tuple[Fraction, Fraction, int], ...]
    amiss: tuple[str, ...]


def fix_panel(ground: Ground, own: range, outline: Span, reach: Span, panels: Panels) -> Fixed:
    """Choose loose slats evenly over the panel, nearer the datum on a tie, and put points under them.

    The panel's board covers ``outline`` along the run and ``reach`` along the slats, cloth included.
    """
    want = max(LEAST_LOOSE, ceil((outline[1] - outline[0]) / panels.fixing_spacing_mm))
    lines: dict[int, list[Fraction]] = {}
    left = list(own)
    middles = [ground.middles[slat] for slat in own]
    for number in range(want):
        ideal = outline[0] + (outline[1] - outline[0]) * (2 * number + 1) / (2 * want)
        while left:
            at = _nearest(middles, ideal)
            slat, _ = left.pop(at), middles.pop(at)
            points = _points(ground, slat, reach, panels) if _may_be_loose(ground, slat) else []
            if points:
                lines[slat] = points
                break
    amiss = []
    if len(lines) < want:
        found = f"only {len(lines)} of {want} loose slats" if lines else f"none of {want} loose slats"
        amiss.append(
            f"{found} can stand away from joints, ends, accessories, no-drill bands and grazing light: glue "
            "as well, or clear a point by name"
        )
    bare = max((_widest(points, ground.pieces[slat]) for slat, points in lines.items()), default=Fraction(0))
    if bare > panels.fixing_spacing_mm:
        amiss.append(
            f"fixing points leave {mm(bare)} mm between them, over {mm(panels.fixing_spacing_mm)}: glue "
            "there, or clear a point by name"
        )
    return Fixed(
        loose=tuple(sorted(lines)),
        points=tuple((_line(ground, slat), place, slat) for slat in sorted(lines) for place in lines[slat]),
        amiss=tuple(amiss),
    )


def _nearest(places: Sequence[Fraction], ideal: Fraction) -> int:
    """Where in a rising list the place nearest to ``ideal`` stands; the earlier on a tie."""
    at = bisect_left(places, ideal)
    if at == len(places) or (at and ideal - places[at - 1] <= places[at] - ideal):
        return at - 1
    return at


def _line(ground: Ground, slat: int) -> Fraction:
    """Where under a slat it is fixed: its middle, or the stud behind it."""
    stud = _stud_behind(ground, slat)
    return ground.middles[slat] if stud is None else stud


def _stud_behind(ground: Ground, slat: int) -> Fraction | None:
    """For upright slats on upright studs: a place under the slat and within the stud, nearest the middle."""
    if not ground.studs or not ground.upright:
        return None
    edge = min(CLEAR_OF_BAND_MM, ground.widths[slat] / 4)
    low = ground.starts[slat] + edge
    high = ground.starts[slat] + ground.widths[slat] - edge
    middle = ground.middles[slat]
    found = [
        min(max(middle, stud - STUD_HALF_MM), stud + STUD_HALF_MM)
        for stud in ground.studs
        if stud - STUD_HALF_MM <= high and stud + STUD_HALF_MM >= low
    ]
    inside = (min(max(place, low), high) for place in found)
    return min(inside, key=lambda place: abs(place - middle), default=None)


def _may_be_loose(ground: Ground, slat: int) -> bool:
    start = ground.starts[slat]
    end = start + ground.widths[slat]
    if slat in ground.joints or slat in (0, len(ground.starts) - 1):
        return False
    if ground.kept_fast.meeting(start, end):
        return False
    return not (ground.studs and ground.upright and _stud_behind(ground, slat) is None)


def _points(ground: Ground, slat: int, reach: Span, panels: Panels) -> list[Fraction]:
    """Places along a slat, on its board and out of every band, as few as the spacing allows."""
    line = _line(ground, slat)
    blocked = sorted([*ground.everywhere, *ground.bands.meeting(line, line), *ground.sloping(line)])
    allowed = []
    for piece in ground.pieces[slat]:
        low, high = max(piece[0], reach[0]), min(piece[1], reach[1])
        if high - low > 2 * FROM_END_MM:
            allowed += left_of(low + FROM_END_MM, high - FROM_END_MM, blocked)
    if not ground.upright and ground.studs:
        allowed = [
            (max(low, stud - STUD_HALF_MM), min(high, stud + STUD_HALF_MM))
            for stud in ground.studs
            for low, high in allowed
            if max(low, stud - STUD_HALF_MM) <= min(high, stud + STUD_HALF_MM)
        ]
    if ground.upright:
        return _spread(sorted(allowed), panels.fixing_spacing_mm)
    return spread_alike(sorted(allowed), panels.fixing_spacing_mm)


def _spread(allowed: Sequence[Span], spacing: Fraction) -> list[Fraction]:
    """From the first allowed place to the last, as evenly as the bands leave it, within spacing."""
    if not allowed:
        return []
    first, last = allowed[0][0], allowed[-1][1]
    found = [first]
    while found[-1] < last:
        steps = ceil((last - found[-1]) / spacing)
        ideal = found[-1] + (last - found[-1]) / steps
        found.append(_allowed_near(allowed, ideal, found[-1], found[-1] + spacing))
    return found


def _allowed_near(allowed: Sequence[Span], ideal: Fraction, after: Fraction, reach: Fraction) -> Fraction:
    """The allowed place after ``after``, of which there is one, nearest to ``ideal``; if it can, in reach."""
    places = [min(max(ideal, low), high) for low, high in allowed if high > after]
    within = [place for place in places if after < place <= reach]
    within += [min(high, reach) for low, high in allowed if low <= reach and min(high, reach) > after]
    if within:
        return min(within, key=lambda place: (abs(place - ideal), place))
    return min(place for place in places if place > reach)


def spread_alike(allowed: Sequence[Span], spacing: Fraction) -> list[Fraction]:
    """The same along level slats, where neither end comes first: a wall's mirror gets the mirrored points.

    Halves what is too wide, and halves again; where two places are equally near to the middle both are taken.
    """
    if not allowed:
        return []
    found = {allowed[0][0], allowed[-1][1]}
    wide = [(allowed[0][0], allowed[-1][1])]
    while wide:
        start, end = wide.pop()
        steps = ceil((end - start) / spacing)
        if steps < 2:
            continue
        # an odd number of steps has no step's end in its middle: one on each side of it
        reach = (end - start) / (2 * steps) if steps % 2 else Fraction(0)
        middle = (start + end) / 2
        inside = {
            place
            for ideal in (middle - reach, middle + reach)
            for place in _nearest_between(allowed, ideal, start, end)
        }
        found |= inside
        wide += pairwise([start, *sorted(inside), end]) if inside else []
    return sorted(found)


def _nearest_between(
    allowed: Sequence[Span], ideal: Fraction, start: Fraction, end: Fraction
) -> list[Fraction]:
    """The allowed places between two points, nearest to ``ideal``; two where they are equally near."""
    places = {min(max(ideal, low), high) for low, high in allowed}
    places |= {edge for span in allowed for edge in span}
    inside = [place for place in places if start < place < end]
    least = min((abs(place - ideal) for place in inside), default=None)
    return [place for place in inside if abs(place - ideal) == least]


def _widest(points: Sequence[Fraction], pieces: Sequence[Span]) -> Fraction:
    """The most slat between two neighbouring points, openings between them not counted [mm]."""
    widest = Fraction(0)
    for before, after in pairwise(points):
        open_between = sum(
            (next_low - high for (_, high), (next_low, _) in pairwise(pieces) if before < high < after),
            Fraction(0),
        )
        widest = max(widest, after - before - open_between)
    return widest
