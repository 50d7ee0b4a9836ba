"""Everything that works but should be known before the first cut, as sentences, in the order of the work."""

from collections.abc import Iterator, Sequence
from fractions import Fraction

from meshes.layout.closing import TAPER_SHARE
from meshes.layout.flatness import flatness_words
from meshes.layout.gaps import even_gaps, gap_for, rhythm_of
from meshes.layout.grid import Grid
from meshes.layout.lengths import rounded_mm
from meshes.layout.levels import ceiling_line, floor_line
from meshes.layout.movement import dried_width_mm, movement_of
from meshes.layout.notices_made import about_panels, at_openings, short_pieces, slat_joints
from meshes.layout.placed import Alternative, BuildUp, Flatness, Panel
from meshes.layout.site import Site
from meshes.layout.spacing import Panels, Slats
from meshes.layout.survey import Opening, Wall
from meshes.layout.words import mm, signed


def notices(
    *,
    wall: Wall,
    openings: Sequence[Opening],
    slats: Slats,
    panels: Panels,
    build_up: BuildUp,
    site: Site,
    chosen: Alternative,
    grid: Grid,
    boards: Sequence[Panel],
    flatness: Flatness | None,
    amiss: Sequence[str],
) -> tuple[str, ...]:
    """All notices of one wall."""
    return (
        *_survey(wall),
        *flatness_words(flatness),
        *_as_machined(slats, site, chosen),
        *_drying(slats, site, chosen),
        *_framing(wall, build_up, chosen),
        *at_openings(openings, build_up, grid),
        *short_pieces(grid),
        *slat_joints(slats, grid),
        *about_panels(panels, boards, grid),
        *amiss,
    )


def _survey(wall: Wall) -> Iterator[str]:
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


def _as_machined(slats: Slats, site: Site, chosen: Alternative) -> Iterator[str]:
    made = slats.as_machined_mm
    if made is None:
        return
    if made.depth != slats.depth_mm:
        yield (
            f"Slats came out {mm(made.depth)} mm deep, not the wished {mm(slats.depth_mm)}: the build-up "
            f"follows ({signed(made.depth - slats.depth_mm)} mm)."
        )
    ends = site.rhythm(slats.ends).ends
    planned = next(iter(even_gaps(site.run, rhythm_of(slats, slats.width_mm, ends))), None)
    if made.width == slats.width_mm or planned is None or slats.spacing != "even":
        return
    shift = planned.count * (slats.width_mm - made.width)
    kept = gap_for(site.run, site.rhythm(slats.ends), planned.count)
    keeping = (
        f"; keeping {planned.count} slats the gap would be {mm(kept.gap)} mm" if kept is not None else ""
    )
    yield (
        f"Slats came out {mm(made.width)} mm wide, not the wished {mm(slats.width_mm)}: with the planned "
        f"spacer of {rounded_mm(planned.gap)} mm kept, {planned.count} slats would end "
        f"{mm(abs(shift))} mm {'short of' if shift > 0 else 'beyond'} the run. Set out again: "
        f"{chosen.slat_count} slats ({signed(Fraction(chosen.slat_count - planned.count))}), "
        f"gap {rounded_mm(chosen.gap)} mm{keeping}."
    )


def _drying(slats: Slats, site: Site, chosen: Alternative) -> Iterator[str]:
    dry, damp = sorted(slats.moisture_percent)
    if slats.ripped_at_percent is not None:
        indoors = (dry + damp) / 2
        dried = dried_width_mm(site.width, slats.species, slats.ripped_at_percent, indoors)
        yield (
            f"A slat ripped to {mm(site.width)} mm at {mm(slats.ripped_at_percent)} % becomes {mm(dried)} mm "
            f"at {mm(indoors)} % ({signed(dried - site.width)} mm): rip that much over, or let it dry first."
        )
    moved = movement_of(
        slat_width=site.width,
        gap=chosen.gap,
        pitch=site.width + chosen.gap,
        panel_width=Fraction(0),
        species=slats.species,
        seasons_percent=slats.moisture_percent,
    )
    if chosen.slat_count > 1 and moved.narrowest_gap_mm <= 0:
        yield (
            f"The gap of {mm(chosen.gap)} mm closes at {mm(damp)} % moisture: slats {mm(site.width)} mm wide "
            f"move {mm(moved.slat_mm)} mm over the year."
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
