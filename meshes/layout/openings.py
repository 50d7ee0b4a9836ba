"""What openings do to slats and boards: slats are cut into pieces, boards get cut-outs, plates cover."""

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from fractions import Fraction

from meshes.layout.placed import BuildUp, PlacedOpening, Plate
from meshes.layout.rect import Rect
from meshes.layout.spans import Span
from meshes.layout.survey import Opening
from meshes.layout.words import mm

PLATED = frozenset({"socket", "switch", "data", "thermostat", "vent"})
"""Kinds whose measured size is a visible plate; the others leave the wall free."""


PLATE_COVERS_MM = Fraction(8)
"""How far a plate on the board or on the slats covers the edge of the hole behind it (our choice)."""

ACCESSORIES = frozenset({"socket", "switch", "data", "thermostat"})
"""Kinds with cables behind them (what BS 7671 calls accessories)."""


def named(opening: Opening) -> str:
    """An opening in a sentence: ``the socket at 1480 mm``, as a person finds it on the wall."""
    what = "data point" if opening.kind == "data" else opening.kind
    return f"the {what} at {mm(opening.left_mm)} mm"


def opening_rect(opening: Opening) -> Rect:
    """The opening as measured, in wall coordinates."""
    return Rect(
        left=opening.left_mm,
        bottom=opening.bottom_mm,
        width=opening.width_mm,
        height=opening.height_mm,
    )


def _grown(rect: Rect, left: Fraction, right: Fraction, bottom: Fraction, top: Fraction) -> Rect:
    return Rect(
        left=rect.left - left,
        bottom=rect.bottom - bottom,
        width=rect.width + left + right,
        height=rect.height + bottom + top,
    )


def slat_hole(opening: Opening) -> Rect:
    """What slats stay out of: the opening, its clearance, and a door's or window's architrave round it."""
    rect = opening_rect(opening)
    side = opening.clearance_mm
    foot = side
    if opening.kind in ("door", "window"):
        side += opening.architrave_mm
        foot = side if opening.kind == "window" else Fraction(0)
    return _grown(rect, side, side, foot, side) if side or foot else rect


def board_hole(opening: Opening) -> Rect:
    """What is cut out of boards: the same, but a plate on the board or the slats covers the hole's edge."""
    if opening.kind not in PLATED or opening.plate == "pocket":
        return slat_hole(opening)
    cover = min(PLATE_COVERS_MM, opening.width_mm / 4, opening.height_mm / 4)
    return _grown(opening_rect(opening), -cover, -cover, -cover, -cover)


def placed(openings: Sequence[Opening]) -> tuple[PlacedOpening, ...]:
    """All openings in the survey's order."""
    return tuple(
        PlacedOpening(index=index, kind=opening.kind, rect=opening_rect(opening), hole=slat_hole(opening))
        for index, opening in enumerate(openings)
    )


def plates_of(openings: Sequence[Opening], build_up: BuildUp) -> tuple[Plate, ...]:
    """The visible covers, with each opening's place in the survey and how far they stand out."""
    backs = {"pocket": Fraction(0), "board": build_up.fabric_face, "slats": build_up.total}
    return tuple(
        Plate(
            index=index,
            kind=opening.kind,
            rect=opening_rect(opening),
            sits=opening.plate,
            stands_out=backs[opening.plate],
            lab_d65=opening.plate_lab_d65,
        )
        for index, opening in enumerate(openings)
        if opening.kind in PLATED
    )


def left_of(low: Fraction, high: Fraction, cuts: Sequence[Span]) -> list[Span]:
    """What is left of ``low`` to ``high`` when the cuts, sorted by where they start, are taken out."""
    pieces = []
    at = low
    for cut_low, cut_high in cuts:
        if cut_low > at:
            pieces.append((at, min(cut_low, high)))
        at = max(at, cut_high)
        if at >= high:
            return pieces
    pieces.append((at, high))
    return pieces


def cuts_by_slat(
    starts: Sequence[Fraction], widths: Sequence[Fraction], holes: Sequence[tuple[Span, Span]]
) -> dict[int, list[Span]]:
    """The holes' (low, high) for each slat that they meet, sorted; one that only touches it leaves it whole.

    ``starts`` rise; ``holes`` are ((start, end) along the run, (low, high) along the slat).
    """
    cuts: dict[int, list[Span]] = {}
    for (start, end), span in holes:
        index = bisect_left(starts, start)
        if index and starts[index - 1] + widths[index - 1] > start:
            index -= 1
        while index < len(starts) and starts[index] < end:
            cuts.setdefault(index, []).append(span)
            index += 1
    for spans in cuts.values():
        spans.sort()
    return cuts


def clipped(hole: Rect, board: Rect) -> Rect | None:
    """The part of a hole that lies on a board; None when there is none."""
    left, right = max(hole.left, board.left), min(hole.right, board.right)
    bottom, top = max(hole.bottom, board.bottom), min(hole.top, board.top)
    if left >= right or bottom >= top:
        return None
    return Rect(left=left, bottom=bottom, width=right - left, height=top - bottom)


def cutouts_of(board: Rect, holes: Iterable[Rect]) -> tuple[Rect, ...]:
    """The holes that a board gets, in wall coordinates, in the order in which they are given."""
    found = (clipped(hole, board) for hole in holes)
    return tuple(cut for cut in found if cut is not None)


def overlap(one: Rect, other: Rect) -> Fraction:
    """Common area of two rectangles [mm2]."""
    common = clipped(one, other)
    return common.area if common else Fraction(0)
