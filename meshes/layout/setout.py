"""The set-out: from a checked survey and a wish to where every slat, gap, joint, cut and fixing stands.

The values, with the section sketch, stand in ``placed``; they are offered here as the room's front door.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from meshes.layout.alternative import Alternative, Rejected
from meshes.layout.axes import axes_of, datum_of
from meshes.layout.bands import bands_of
from meshes.layout.boards import place
from meshes.layout.choices import choices, wanted
from meshes.layout.face import Face, Strip, Widened, face_of
from meshes.layout.flatness import flatness_of
from meshes.layout.grid import Grid, grid_of
from meshes.layout.levels import ceiling_line
from meshes.layout.movement import Movement, movement_of
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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """What is set out, as it came."""

    wall: Wall
    openings: Sequence[Opening]
    zones: Sequence[Zone]
    slats: Slats
    panels: Panels
    corner: Corner | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Choice:
    """The spacing that is taken, the next best ones, and those that do not work."""

    chosen: Alternative
    others: tuple[Alternative, ...]
    rejected: tuple[Rejected, ...]


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
    return _solved(
        _Asked(wall=wall, openings=openings, zones=zones, slats=slats, panels=panels, corner=corner)
    )


def _solved(asked: _Asked) -> SetOut:
    build_up = build_up_of(asked.panels, slat_size(asked.slats)[1])
    face = _face(asked, build_up)
    if face.rect.width <= 0 or face.rect.height <= 0:
        raise NothingFitsError("ends, skirting and ceiling leave no face for slats")
    site = site_of(asked.wall, asked.slats, face, asked.corner)
    return _placed(asked, build_up, site, _choice(asked, site, face))


def _face(asked: _Asked, build_up: BuildUp, widened: Widened | None = None) -> Face:
    starts_at = asked.corner.starts_at if asked.corner else Fraction(0)
    return face_of(asked.wall, build_up=build_up.total, starts_at=starts_at, widened=widened)


def _choice(asked: _Asked, site: Site, face: Face) -> _Choice:
    """What is wished for, or the same moved clear of openings; the other of the two heads the next best."""
    works, rejected = choices(site)
    chosen = wanted(site, works)
    if chosen is None:
        raise NothingFitsError(f"nothing fits a run of {site.run} mm as it is asked for")
    better = _shifted(site, chosen, face, asked.openings, asked.slats)
    if better is not None and asked.slats.shift_for_openings:
        works, chosen = [chosen, *works], better
    elif better is not None:
        works = [better, *works]
    others = tuple(choice for choice in works if choice is not chosen)[:ALTERNATIVES_SHOWN]
    return _Choice(chosen=chosen, others=others, rejected=tuple(rejected))


def _placed(asked: _Asked, build_up: BuildUp, site: Site, choice: _Choice) -> SetOut:
    """Everything where the chosen spacing puts it."""
    wall, slats, chosen = asked.wall, asked.slats, choice.chosen
    width, depth = slat_size(slats)
    face = _face(asked, build_up, _widened(chosen, slats, site))
    ceiling = ceiling_line(wall)
    grid = grid_of(site, chosen, face, slats, asked.openings, asked.zones)
    bands = bands_of(wall, asked.openings, asked.zones)
    placed, boards, amiss = place(grid, wall, asked.openings, asked.zones, bands, slats, asked.panels)
    moved = _moved(slats, width, chosen, boards)
    made = SetOut(
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
        openings=placed_openings(asked.openings),
        plates=plates_of(asked.openings, build_up),
        alternatives=choice.others,
        datum=datum_of(slats.run, slats.datum),
        rod_parts=slats.rod_parts_of_inch,
        turns=asked.corner.turns if asked.corner else "first",
        chosen=chosen,
        rejected=choice.rejected,
        scribes=scribes_of(wall, face),
        bands=bands,
        flatness=flatness_of(wall),
        movement=moved,
    )
    return replace(made, warnings=_warnings(asked, made, site, chosen, grid, moved, amiss))


def _moved(slats: Slats, width: Fraction, chosen: Alternative, boards: Sequence[Panel]) -> Movement:
    """How the work moves through the seasons, over its widest panel."""
    return movement_of(
        slat_width=width,
        gap=chosen.gap,
        pitch=width + chosen.gap,
        panel_width=max(
            panel.board.width if slats.run == "upright" else panel.board.height for panel in boards
        ),
        species=slats.species,
        seasons_percent=slats.moisture_percent,
    )


def _warnings(
    asked: _Asked,
    made: SetOut,
    site: Site,
    chosen: Alternative,
    grid: Grid,
    moved: Movement,
    amiss: Sequence[str],
) -> tuple[str, ...]:
    """What a person should know of a set-out that is otherwise done."""
    return notices(
        wall=asked.wall,
        openings=asked.openings,
        zones=asked.zones,
        slats=asked.slats,
        panels=asked.panels,
        build_up=made.build_up,
        site=site,
        chosen=chosen,
        grid=grid,
        boards=made.panels,
        flatness=made.flatness,
        moved=moved,
        planned=_planned(asked),
        amiss=amiss,
    )


def _planned(asked: _Asked) -> SetOut | None:
    """The set-out as it was planned, before the slats were measured; None where it is this one."""
    if asked.slats.as_machined_mm is None:
        return None
    wished = asked.slats.model_copy(update={"as_machined_mm": None})
    try:
        return _solved(replace(asked, slats=wished))
    except NothingFitsError:
        return None


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
