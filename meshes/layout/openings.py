"""What openings do to slats and boards: slats are cut into pieces, boards get cut-outs, plates cover."""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.axes import Axes
from meshes.layout.placed import Plate, Rect
from meshes.layout.survey import Opening

PLATED = frozenset({"socket", "switch", "data", "thermostat", "vent"})
"""Kinds whose measured size is a visible plate; the others leave the wall free."""


def opening_rect(opening: Opening) -> Rect:
    """The opening as measured, in wall coordinates."""
    return Rect(
        left=opening.left_mm,
        bottom=opening.bottom_mm,
        width=opening.width_mm,
        height=opening.height_mm,
    )


def plates_of(openings: Sequence[Opening]) -> tuple[Plate, ...]:
    """The visible covers, with each opening's place in the survey."""
    return tuple(
        Plate(index=index, kind=opening.kind, rect=opening_rect(opening))
        for index, opening in enumerate(openings)
        if opening.kind in PLATED
    )


def pieces_of(extent: Rect, holes: Sequence[Rect], axes: Axes) -> tuple[Rect, ...]:
    """What is left of a slat when every hole that it meets is cut square across it, in order along it.

    A hole that only touches the slat's edge leaves it whole.
    """
    start, end = axes.across(extent)
    low, high = axes.along(extent)
    cuts = sorted(
        axes.along(hole) for hole in holes if axes.across(hole)[0] < end and start < axes.across(hole)[1]
    )
    pieces = []
    at = low
    for cut_low, cut_high in cuts:
        if cut_low > at:
            pieces.append((at, min(cut_low, high)))
        at = max(at, cut_high)
        if at >= high:
            break
    if at < high:
        pieces.append((at, high))
    return tuple(axes.rect(start, end, piece_low, piece_high) for piece_low, piece_high in pieces)


def clipped(hole: Rect, board: Rect) -> Rect | None:
    """The part of a hole that lies on a board; None when there is none."""
    left, right = max(hole.left, board.left), min(hole.right, board.right)
    bottom, top = max(hole.bottom, board.bottom), min(hole.top, board.top)
    if left >= right or bottom >= top:
        return None
    return Rect(left=left, bottom=bottom, width=right - left, height=top - bottom)


def cutouts_of(board: Rect, holes: Sequence[Rect]) -> tuple[Rect, ...]:
    """The holes that a board gets, in wall coordinates, in the order of the survey."""
    found = (clipped(hole, board) for hole in holes)
    return tuple(cut for cut in found if cut is not None)


def overlap(one: Rect, other: Rect) -> Fraction:
    """Common area of two rectangles [mm2]."""
    common = clipped(one, other)
    return common.area if common else Fraction(0)
