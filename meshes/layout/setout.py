"""The set-out: from a checked survey and a wish to where every slat, gap, joint and cut stands.

The values, with the section sketch, stand in ``placed``; they are offered here as the room's front door.
"""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.axes import axes_of
from meshes.layout.face import Face, face_of
from meshes.layout.gaps import even_gaps
from meshes.layout.openings import cutouts_of, opening_rect, pieces_of, plates_of
from meshes.layout.panels import divide
from meshes.layout.placed import (
    Alternative,
    BuildUp,
    Panel,
    Plate,
    Rect,
    SetOut,
    Slat,
    Strip,
)
from meshes.layout.reasons import alternatives_for, warnings_for
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone

__all__ = [
    "Alternative",
    "BuildUp",
    "Panel",
    "Plate",
    "Rect",
    "SetOut",
    "Slat",
    "Strip",
    "set_out",
]


class NothingFitsError(ValueError):
    """Raised for values that ``checks.check`` refuses: no slat fits the run."""


def slat_size(slats: Slats) -> tuple[Fraction, Fraction]:
    """(width, depth) of the slats as they are: as machined when that was measured, else as wished; mm."""
    made = slats.as_machined_mm
    return (made.width, made.depth) if made else (slats.width_mm, slats.depth_mm)


def build_up_of(panels: Panels, slat_depth: Fraction) -> BuildUp:
    """Packing + board + fabric + slat, the one value for how far the work stands out."""
    return BuildUp(
        packing=panels.packing_mm, board=panels.thickness_mm, fabric=panels.fabric_mm, slat=slat_depth
    )


def set_out(
    *, wall: Wall, openings: Sequence[Opening], zones: Sequence[Zone], slats: Slats, panels: Panels
) -> SetOut:
    """Set out one wall exactly.

    The values must have passed ``meshes.layout.checks.check``; what it refuses raises ``NothingFitsError``.
    """
    face = face_of(wall)
    axes = axes_of(slats.run)
    run = axes.across(face.rect)
    width, depth = slat_size(slats)
    found = even_gaps(run[1] - run[0], width, slats.gap_mm, slats.ends, reach=2)
    if not found or face.rect.height <= 0:
        raise NothingFitsError(f"slats {width} mm wide do not fit the run of {run[1] - run[0]} mm")
    gap = found[0].gap
    first = run[0] + (gap if slats.ends == "gap" else 0)
    starts = [first + index * (width + gap) for index in range(found[0].count)]
    placed, boards = _place(face, starts, width, openings, slats, panels)
    build_up = build_up_of(panels, depth)
    return SetOut(
        run=slats.run,
        wall_width=wall.width_mm,
        wall_height=wall.height_mm,
        face=face.rect,
        skirting=face.skirting,
        skirting_projection=wall.skirting_projection_mm,
        slat_width=width,
        slat_depth=depth,
        gap=gap,
        ends=slats.ends,
        build_up=build_up,
        slats=placed,
        panels=boards,
        trims=face.trims,
        shadow_gaps=face.shadow_gaps,
        leans=(wall.left.out_of_plumb_mm, wall.right.out_of_plumb_mm),
        plates=plates_of(openings),
        alternatives=alternatives_for(run[1] - run[0], width, slats, found),
        warnings=warnings_for(wall, slats, panels, build_up, run[1] - run[0], found[0], placed, boards),
    )


def _place(
    face: Face,
    starts: Sequence[Fraction],
    width: Fraction,
    openings: Sequence[Opening],
    slats: Slats,
    panels: Panels,
) -> tuple[tuple[Slat, ...], tuple[Panel, ...]]:
    """Cut slats and boards at the openings and give each slat its panel."""
    axes = axes_of(slats.run)
    low, high = axes.along(face.rect)
    division = divide(starts, [width] * len(starts), axes.across(face.rect), high - low, panels)
    holes = [opening_rect(opening) for opening in openings]
    lasts = [*division.firsts[1:], len(starts)]
    placed, boards = [], []
    for number, (start, end) in enumerate(division.boards):
        own = range(division.firsts[number], lasts[number])
        board = axes.rect(start, end, low, high)
        boards.append(Panel(index=number, board=board, cutouts=cutouts_of(board, holes), slats=tuple(own)))
        for index in own:
            extent = axes.rect(starts[index], starts[index] + width, low, high)
            placed.append(
                Slat(index=index, extent=extent, pieces=pieces_of(extent, holes, axes), panel=number)
            )
    return tuple(placed), tuple(boards)
