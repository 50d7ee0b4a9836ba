"""The set-out: from a checked survey and a wish to where every slat, gap, joint, cut and fixing stands.

The values, with the section sketch, stand in ``placed``; they are offered here as the room's front door.
"""

from collections.abc import Sequence
from fractions import Fraction

from meshes.layout.alternative import Alternative, Rejected
from meshes.layout.axes import axes_of, datum_of
from meshes.layout.bands import bands_of
from meshes.layout.boards import place
from meshes.layout.choices import choices, wanted
from meshes.layout.face import Face, Strip, Widened, face_of
from meshes.layout.flatness import flatness_of
from meshes.layout.grid import grid_of
from meshes.layout.levels import ceiling_line
from meshes.layout.movement import movement_of
from meshes.layout.notices import notices
from meshes.layout.openings import placed as placed_openings
from meshes.layout.openings import plates_of, slat_hole
from meshes.layout.placed import BuildUp, Fixing, Panel, Plate, SetOut, Slat
from meshes.layout.rect import Rect
from meshes.layout.scribe import scribes_of
from meshes.layout.shift import shifted
from meshes.layout.site import Corner, Site, site_of, slat_size
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone

__all__ = [
    "Alternative",
    "BuildUp",
    "Fixing",
    "NothingFitsError",
    "Panel",
    "Plate",
    "Rect",
    "Rejected",
    "SetOut",
    "Slat",
    "Strip",
    "set_out",
]

ALTERNATIVES_SHOWN = 12


class NothingFitsError(ValueError):
    """Raised for values that ``checks.check`` refuses: nothing fits the run as it is asked for."""


def build_up_of(panels: Panels, slat_depth: Fraction) -> BuildUp:
    """Packing + board + fabric + slat, the one value for how far the work stands out."""
    return BuildUp(
        packing=panels.packing_mm, board=panels.thickness_mm, fabric=panels.fabric_mm, slat=slat_depth
    )


def set_out(
    *,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    corner: Corner | None = None,
) -> SetOut:
    """Set out one wall exactly; ``corner`` is how it meets the wall before it, if there is one.

    The values must have passed ``meshes.layout.checks.check``; what it refuses raises ``NothingFitsError``.
    """
    width, depth = slat_size(slats)
    build_up = build_up_of(panels, depth)
    starts_at = corner.starts_at if corner else Fraction(0)
    face = face_of(wall, build_up=build_up.total, starts_at=starts_at)
    if face.rect.width <= 0 or face.rect.height <= 0:
        raise NothingFitsError("ends, skirting and ceiling leave no face for slats")
    site = site_of(wall, slats, face, corner)
    works, rejected = choices(site)
    chosen = wanted(site, works)
    if chosen is None:
        raise NothingFitsError(f"nothing fits a run of {site.run} mm as it is asked for")
    better = _shifted(site, chosen, face, openings, slats)
    if better is not None and slats.shift_for_openings:
        works, chosen = [chosen, *works], better
    elif better is not None:
        works = [better, *works]
    face = face_of(wall, build_up=build_up.total, starts_at=starts_at, widened=_widened(chosen, slats, site))
    ceiling = ceiling_line(wall)
    grid = grid_of(site, chosen, face, slats, openings, zones)
    bands = bands_of(wall, openings, zones)
    placed, boards, amiss = place(grid, wall, openings, zones, bands, slats, panels)
    flatness = flatness_of(wall)
    moved = movement_of(
        slat_width=width,
        gap=chosen.gap,
        pitch=width + chosen.gap,
        panel_width=max(_across(panel.board, slats.run) for panel in boards),
        species=slats.species,
        seasons_percent=slats.moisture_percent,
    )
    planned = _planned(wall, openings, zones, slats, panels, corner)
    others = tuple(choice for choice in works if choice is not chosen)[:ALTERNATIVES_SHOWN]
    return SetOut(
        run=slats.run,
        wall_width=wall.width_mm + Fraction(0),
        wall_height=ceiling.highest if face.sweep else ceiling.lowest,
        face=face.rect,
        skirting=face.skirting,
        skirting_projection=wall.skirting_projection_mm,
        slat_width=width,
        slat_depth=depth,
        gap=chosen.gap,
        ends=slats.ends,
        build_up=build_up,
        slats=placed,
        panels=boards,
        trims=face.trims,
        shadow_gaps=face.shadow_gaps,
        leans=(wall.left.out_of_plumb_mm, wall.right.out_of_plumb_mm),
        ceiling=None if ceiling.level else (ceiling.left, ceiling.middle, ceiling.right),
        floor_rise=wall.floor_out_of_level_mm,
        sweep=face.sweep,
        openings=placed_openings(openings),
        plates=plates_of(openings, build_up),
        alternatives=others,
        warnings=notices(
            wall=wall,
            openings=openings,
            zones=zones,
            slats=slats,
            panels=panels,
            build_up=build_up,
            site=site,
            chosen=chosen,
            grid=grid,
            boards=boards,
            flatness=flatness,
            moved=moved,
            planned=planned,
            amiss=amiss,
        ),
        datum=datum_of(slats.run, slats.datum),
        rod_parts=slats.rod_parts_of_inch,
        turns=corner.turns if corner else "first",
        chosen=chosen,
        rejected=tuple(rejected),
        scribes=scribes_of(wall, face),
        bands=bands,
        flatness=flatness,
        movement=moved,
    )


def _planned(
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    corner: Corner | None,
) -> SetOut | None:
    """The set-out as it was planned, before the slats were measured; None where it is this one."""
    if slats.as_machined_mm is None:
        return None
    wished = slats.model_copy(update={"as_machined_mm": None})
    try:
        return set_out(wall=wall, openings=openings, zones=zones, slats=wished, panels=panels, corner=corner)
    except NothingFitsError:
        return None


def _across(rect: Rect, run: str) -> Fraction:
    return rect.width if run == "upright" else rect.height


def _shifted(
    site: Site, chosen: Alternative, face: Face, openings: Sequence[Opening], slats: Slats
) -> Alternative | None:
    """A grid that openings harm less, unless the choice already gave its remainder to the frame."""
    if any(chosen.widened):
        return None
    axes = axes_of(slats.run, slats.datum, face.rect)
    low, high = axes.along(face.rect)
    holes = [(axes.across(hole), axes.along(hole)) for hole in (slat_hole(opening) for opening in openings)]
    return shifted(site, chosen, holes, low, high)


def _widened(chosen: Alternative, slats: Slats, site: Site) -> Widened | None:
    """The remainder that goes to the frame, by side of the wall."""
    if not any(chosen.widened):
        return None
    sides = {end.name: more for end, more in zip(site.ends, chosen.widened, strict=True)}
    zero = Fraction(0)
    return Widened(
        left=sides.get("left", zero),
        right=sides.get("right", zero),
        top=sides.get("top", zero),
        as_trim=chosen.closing == "trim",
    )
