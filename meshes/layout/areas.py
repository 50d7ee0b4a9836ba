"""Exact areas by surface, for what has to be planed, stained, covered or painted."""

from collections.abc import Iterable
from fractions import Fraction
from math import isqrt

from meshes.layout.face import Strip
from meshes.layout.placed import Panel, SetOut
from meshes.layout.rect import Rect

SQUARE = (Fraction(0), Fraction(0))
PARTS_OF_MM = 1_000_000


def areas(set_out: SetOut) -> dict[str, Fraction]:
    """Area by surface word [mm2], and ``slat_back``, the face that the board hides.

    ``fabric`` is the whole covered face of the panels, cut-outs taken out, slats not; ``slat_end`` counts
    both ends of every piece, a top cut to a sloping ceiling along its slope; ``trim`` its front and both
    sides; ``panel_edge`` all edges, cut-outs too. The room's own surfaces are the room's to measure.
    """
    upright = set_out.run == "upright"
    depth = set_out.slat_depth
    front = length_in_all = across_ends = Fraction(0)
    for slat in set_out.slats:
        for piece in slat.pieces:
            length, width = (piece.height, piece.width) if upright else (piece.width, piece.height)
            front += length * width
            length_in_all += length
            across_ends += 2 * width
            if slat.rise != SQUARE:
                left, right = slat.rise_of(piece)
                front += width * (left + right) / 2
                length_in_all += (left + right) / 2
                across_ends += slant(width, right - left) - width
    skirting = set_out.skirting
    return {
        "slat_front": front,
        "slat_side": 2 * depth * length_in_all,
        "slat_end": depth * across_ends,
        "slat_back": front,
        "fabric": _total(panel.outline for panel in set_out.panels)
        - _total(cut for panel in set_out.panels for cut in panel.cutouts),
        "panel_edge": set_out.build_up.board * sum((_edges(panel) for panel in set_out.panels), Fraction(0)),
        "trim": _front(set_out.trims)
        + set_out.build_up.total * sum((sum(trim.edges) for trim in set_out.trims), Fraction(0)),
        "shadow_gap": _front(set_out.shadow_gaps),
        "skirting": skirting.area + skirting.width * set_out.skirting_projection if skirting else Fraction(0),
        "plate": _total(plate.rect for plate in set_out.plates),
    }


def slant(width: Fraction, rise: Fraction) -> Fraction:
    """Length of a cut that rises by ``rise`` over ``width`` [mm]; mostly no fraction, so to a millionth."""
    if not rise:
        return width
    square = (width * width + rise * rise) * PARTS_OF_MM**2
    return Fraction(isqrt(square.numerator // square.denominator), PARTS_OF_MM)


def _front(strips: Iterable[Strip]) -> Fraction:
    """What the room sees of strips, their tops cut to a sloping ceiling where they are [mm2]."""
    return sum((strip.width * sum(strip.edges) / 2 for strip in strips), Fraction(0))


def _total(rects: Iterable[Rect]) -> Fraction:
    return sum((rect.area for rect in rects), Fraction(0))


def _edges(panel: Panel) -> Fraction:
    """Length of all board edges [mm]: outline less what cut-outs take of it, and the cut-outs' own sides."""
    board = panel.board
    length = 2 * (board.width + board.height)
    for cut in panel.cutouts:
        for inside, edge in (
            (cut.left > board.left, cut.height),
            (cut.right < board.right, cut.height),
            (cut.bottom > board.bottom, cut.width),
            (cut.top < board.top, cut.width),
        ):
            length += edge if inside else -edge
    return length
