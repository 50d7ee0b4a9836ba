"""Outlines on the wall whose heads may slope: slats cut to a ceiling, the face, the wall itself.

::

                      ___---|   the ceiling, and the heads of slats that are swept to it
             ___---|  |     |
       |---||   |  |  |     |   corners are told anticlockwise from the lower left one
       |___||___|__|__|_____|
"""

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from meshes.layout.face import Strip
from meshes.layout.levels import Line
from meshes.layout.placed import Band, SetOut, Slat
from meshes.layout.rect import Rect

Corner = tuple[Fraction, Fraction]
Outline = tuple[Corner, ...]
"""Corners (x, y) on the wall [mm]."""


def rect_outline(rect: Rect) -> Outline:
    """The four corners of an upright rectangle."""
    return (
        (rect.left, rect.bottom),
        (rect.right, rect.bottom),
        (rect.right, rect.top),
        (rect.left, rect.top),
    )


def piece_outline(slat: Slat, piece: Rect) -> Outline:
    """The four corners of a piece as it is cut: the upper ones higher where its top slopes."""
    left, right = slat.rise_of(piece)
    return (
        (piece.left, piece.bottom),
        (piece.right, piece.bottom),
        (piece.right, piece.top + right),
        (piece.left, piece.top + left),
    )


def strip_outline(strip: Strip) -> Outline:
    """The four corners of what frames the run: the upper ones higher where its top slopes."""
    rect, (left, right) = strip.rect, strip.rise
    return (
        (rect.left, rect.bottom),
        (rect.right, rect.bottom),
        (rect.right, rect.top + right),
        (rect.left, rect.top + left),
    )


def band_outlines(band: Band, within: Rect) -> tuple[Outline, ...]:
    """The parts of a no-drill band inside a rectangle, each convex; none where it stays outside."""
    if band.lower is None:
        found = [rect_outline(band.rect)]
    else:
        line, rect = band.lower, band.rect
        kink = [] if line.straight else [(rect.left + line.width / 2, line.middle)]
        places = [(rect.left, line.left), *kink, (rect.right, line.right)]
        found = [
            ((x0, y0), (x1, y1), (x1, y1 + band.depth), (x0, y0 + band.depth))
            for (x0, y0), (x1, y1) in pairwise(places)
        ]
    for axis, edge, side in (
        (0, within.left, 1),
        (0, within.right, -1),
        (1, within.bottom, 1),
        (1, within.top, -1),
    ):
        found = [_cut(outline, axis, edge, side) for outline in found]
    return tuple(outline for outline in found if len(outline) > 2)


def _cut(outline: Outline, axis: int, edge: Fraction, side: int) -> Outline:
    """What of a convex outline lies beyond ``edge`` along x (axis 0) or y (1): above it (side 1) or below."""
    found: list[Corner] = []
    for one, two in zip(outline, (*outline[1:], *outline[:1]), strict=True):
        from_one, from_two = side * (one[axis] - edge), side * (two[axis] - edge)
        if from_one >= 0:
            found.append(one)
        if from_one * from_two < 0:
            share = from_one / (from_one - from_two)
            found.append((one[0] + share * (two[0] - one[0]), one[1] + share * (two[1] - one[1])))
    flat = len({corner[1 - axis] for corner in found}) < 2 or len({corner[axis] for corner in found}) < 2
    return () if flat else tuple(found)


def swept_to(set_out: SetOut) -> Line | None:
    """The ceiling that slats are cut to; None where their heads are level."""
    ceiling = set_out.ceiling
    if ceiling is None or set_out.wall_height == min(ceiling):
        return None
    left, middle, right = ceiling
    return Line(width=set_out.wall_width, left=left, middle=middle, right=right)


def wall_outline(set_out: SetOut) -> Outline:
    """The wall from its floor up to its ceiling; up to a level line where slats are not swept to it."""
    ceiling, width, start = swept_to(set_out), set_out.wall_width, Fraction(0)
    if ceiling is None:
        top: Outline = ((width, set_out.wall_height), (start, set_out.wall_height))
    else:
        top = ((width, ceiling.right), (width / 2, ceiling.middle), (start, ceiling.left))
    return (start, start), (width, set_out.floor_rise), *top


def foot_outline(set_out: SetOut) -> Outline | None:
    """What stands on the floor: the kept skirting, or what is scribed to a floor out of level.

    The latter goes up to the slats, a plinth included; None where there is neither.
    """
    skirting, width, start = set_out.skirting, set_out.wall_width, Fraction(0)
    if skirting is None and not set_out.floor_rise:
        return None
    top = set_out.face.bottom if skirting is None else skirting.top
    return (start, start), (width, set_out.floor_rise), (width, top), (start, top)


def face_outline(set_out: SetOut) -> Outline:
    """The face that slats and gaps fill, along the heads of swept slats and on to its two ends."""
    face, ceiling = set_out.face, swept_to(set_out)
    if ceiling is None:
        return rect_outline(face)
    heads: list[Corner] = []
    for slat in set_out.slats:
        extent, (left, right) = slat.extent, slat.rise
        heads += [(extent.left, extent.top + left), (extent.right, extent.top + right)]
    (first, low), (last, high) = heads[0], heads[-1]
    start = (face.left, low + ceiling.at(face.left) - ceiling.at(first))
    end = (face.right, high + ceiling.at(face.right) - ceiling.at(last))
    return (face.left, face.bottom), (face.right, face.bottom), *_kept([start, *heads, end])[::-1]


def _kept(line: Sequence[Corner]) -> list[Corner]:
    """A broken line without the points that say nothing: twice the same, or straight between neighbours."""
    found: list[Corner] = []
    for number, point in enumerate(line):
        if found and number + 1 < len(line):
            (x0, y0), (x1, y1), (x2, y2) = found[-1], point, line[number + 1]
            if (y1 - y0) * (x2 - x0) == (y2 - y0) * (x1 - x0):
                continue
        found.append(point)
    return found
