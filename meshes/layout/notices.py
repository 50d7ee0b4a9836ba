"""Everything that works but should be known before the first cut, as sentences, in the order of the work."""

from collections.abc import Iterator, Sequence

from meshes.layout.alternative import Alternative
from meshes.layout.boards import end_clearance
from meshes.layout.closing import TAPER_SHARE, visible_taper
from meshes.layout.flatness import Flatness, flatness_words
from meshes.layout.grid import Grid
from meshes.layout.levels import ceiling_line, floor_line
from meshes.layout.machined import as_machined
from meshes.layout.movement import Movement, dried_width_mm
from meshes.layout.notices_jointed import board_joints, slat_joints
from meshes.layout.notices_made import about_panels, at_openings, over_boards, short_pieces
from meshes.layout.placed import BuildUp, Panel, SetOut
from meshes.layout.site import Site
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall, Zone
from meshes.layout.words import mm, signed


def notices(
    *,
    wall: Wall,
    openings: Sequence[Opening],
    zones: Sequence[Zone],
    slats: Slats,
    panels: Panels,
    build_up: BuildUp,
    site: Site,
    chosen: Alternative,
    grid: Grid,
    boards: Sequence[Panel],
    flatness: Flatness | None,
    moved: Movement,
    planned: SetOut | None,
    amiss: Sequence[str],
) -> tuple[str, ...]:
    """All notices of one wall."""
    return (
        *_survey(wall),
        *flatness_words(flatness),
        *as_machined(slats, site, chosen, boards, planned, panels.joint_clearance_mm),
        *_moisture(slats, panels, site, chosen, moved, bool(end_clearance(wall, slats, panels))),
        *_framing(wall, build_up, chosen),
        *_tapers(site, chosen),
        *at_openings(openings, build_up, grid),
        *short_pieces(grid),
        *slat_joints(slats, grid, zones),
        *about_panels(panels, boards, grid),
        *over_boards(boards, grid),
        *board_joints(boards, grid, zones),
        *amiss,
    )


def _survey(wall: Wall) -> Iterator[str]:
    if wall.build in ("board_on_studs", "lath") and not wall.studs_mm:
        yield (
            f"The wall is {wall.build.replace('_', ' ')}, and its studs are not surveyed: find them before "
            "anything is fixed, and enter them as wall.studs_mm."
        )
    if wall.floor_to_come_mm:
        yield (
            f"The floor finish is not laid: heights count from its surface to come, "
            f"{mm(wall.floor_to_come_mm)} mm above the bare floor. Set the level line from there."
        )
    floor, ceiling = floor_line(wall), ceiling_line(wall)
    if not floor.level:
        fall = abs(floor.right - floor.left)
        yield (
            f"The floor falls {mm(fall)} mm to the {'right' if floor.right < floor.left else 'left'}: slats "
            "start level at its highest point, and what is below them is scribed."
        )
    if not ceiling.level and wall.ceiling != "swept":
        yield (
            f"The ceiling is {mm(ceiling.highest - ceiling.lowest)} mm out of level: slats end level under "
            f"its lowest point at {mm(ceiling.lowest)} mm."
        )


def _moisture(
    slats: Slats, panels: Panels, site: Site, chosen: Alternative, moved: Movement, closed_end: bool
) -> Iterator[str]:
    dry, damp = sorted(slats.moisture_percent)
    if slats.ripped_at_percent is not None:
        indoors = (dry + damp) / 2
        dried = dried_width_mm(site.width, slats.species, slats.ripped_at_percent, indoors)
        yield (
            f"A slat ripped to {mm(site.width)} mm at {mm(slats.ripped_at_percent)} % becomes {mm(dried)} mm "
            f"at {mm(indoors)} % ({signed(dried - site.width)} mm): rip that much over, or let it dry first."
        )
    if chosen.slat_count > 1 and moved.narrowest_gap_mm <= 0:
        yield (
            f"The gap of {mm(chosen.gap)} mm closes at {mm(damp)} % moisture: slats {mm(site.width)} mm wide "
            f"move {mm(moved.slat_mm)} mm over the year."
        )
    if moved.panel_mm > panels.joint_clearance_mm:
        yield (
            f"The widest panel moves {mm(moved.panel_mm)} mm over the year, more than the joint clearance of "
            f"{mm(panels.joint_clearance_mm)} mm."
        )
    if closed_end and moved.end_clearance_mm > panels.side_clearance_mm:
        yield (
            f"The last panel needs {mm(moved.end_clearance_mm)} mm at its end to move in over the year; "
            f"{mm(panels.side_clearance_mm)} mm are left."
        )


def _framing(wall: Wall, build_up: BuildUp, chosen: Alternative) -> Iterator[str]:
    over = build_up.total - wall.skirting_projection_mm
    if wall.skirting == "kept" and wall.skirting_mm and over > 0 and not wall.closing_trim_mm:
        yield (
            f"The build-up of {mm(build_up.total)} mm stands {mm(over)} mm over the kept skirting's "
            f"{mm(wall.skirting_projection_mm)}: the raw lower edge shows; close it with a trim at least "
            f"{mm(over)} mm deep."
        )
    over = build_up.total - wall.cornice_projection_mm
    if wall.cornice_mm and over > 0:
        yield (
            f"The build-up of {mm(build_up.total)} mm stands {mm(over)} mm over the cornice's "
            f"{mm(wall.cornice_projection_mm)}: close the upper edge with a trim at least {mm(over)} mm deep."
        )
    for side, end in (("left", wall.left), ("right", wall.right)):
        if end.trim_mm and end.meets != "open":
            yield f"The trim of {mm(end.trim_mm)} mm at the {side} end is not used: it is not an open end."
        if end.meets == "open" and not end.trim_mm:
            yield f"The {side} end is open and has no trim: board edges show, {mm(build_up.total)} mm deep."
        taper = abs(end.out_of_plumb_mm)
        if end.shadow_gap_mm and taper > TAPER_SHARE * chosen.gap:
            yield (
                f"The shadow gap at the {side} end tapers from {mm(end.shadow_gap_mm)} to "
                f"{mm(end.shadow_gap_mm + taper)} mm, more than a third of the gap: paint its ground dark."
            )


def _tapers(site: Site, chosen: Alternative) -> Iterator[str]:
    """A closing gap beside an end that is out of true, where it was asked for all the same."""
    spaces = (chosen.start_space, chosen.end_space), (chosen.start_slat, chosen.end_slat)
    for space, slat, end in zip(*spaces, site.ends, strict=True):
        taper = visible_taper(chosen.gap, end)
        if space and not slat and taper:
            yield f"{taper[:-1]}: finish on a slat there, or cover it with a shadow gap or trim."
