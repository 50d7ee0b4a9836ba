"""Fixing points in no-drill bands that persons answer for by name."""

from collections.abc import Sequence
from dataclasses import replace

from meshes.layout.placed import Fixing, Panel, Slat
from meshes.layout.rect import Rect
from meshes.layout.spacing import Cleared


def with_cleared(
    made: Sequence[Panel], slats: Sequence[Slat], cleared: Sequence[Cleared]
) -> tuple[Panel, ...]:
    """The panels with the points that persons cleared by name, where a slat will cover them."""
    found = list(made)
    for point in cleared:
        slat = next((slat for slat in slats if covers(slat.pieces, point)), None)
        if slat is None:
            continue  # ``checks`` names a cleared point that no slat covers
        panel = found[slat.panel]
        extra = Fixing(x=point.left_mm, y=point.bottom_mm, slat=slat.index, cleared_by=point.by)
        found[slat.panel] = replace(panel, fixings=(*panel.fixings, extra))
    return tuple(found)


def covers(pieces: Sequence[Rect], point: Cleared) -> bool:
    """Whether a slat's pieces cover a point."""
    return any(
        piece.left < point.left_mm < piece.right and piece.bottom < point.bottom_mm < piece.top
        for piece in pieces
    )
